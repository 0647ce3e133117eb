// Package api serves a shop to programs: JSON under /api, described by an
// OpenAPI 3.1 document that is made from the same Go types that read and write
// it, and by a page made from that document.
//
// A program comes in with a token (Authorization: Bearer …). It acts for the
// person who answers for it and does what both his roles and the grants of the
// token allow; package shop alone decides that. What a program may not see is
// not found.
//
// Entries carry an id of the writer: sent again, they are kept once. What is
// read of a job carries the end of its stream as entity tag, so that asking
// again costs nothing while nobody wrote, and an entry may be made to depend
// on it (If-Match). What is refused is told as RFC 9457 says.
package api
