// Package access decides who may come in and who may do what.
//
// Everything is denied that a table does not allow: Permits names the roles
// for each operation. People sign in with a password anywhere, or with a PIN
// on a tablet that the shop has paired. What is kept of passwords, PINs,
// tablets and sign-ins is a hash; whoever reads the database can use none.
//
// The clock and the source of randomness are passed in. Nothing here knows
// pages or cookies.
package access
