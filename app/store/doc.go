// Package store keeps the streams of entries of a shop, its photos and papers,
// its people and their sign-ins: in one SQLite file, or in PostgreSQL.
//
// What is true is in the entries. They are only ever added: the store gives an
// entry its place by moving the head of its stream in one transaction, takes
// the same entry once however often it is sent, and refuses another content
// under an id that is taken. Summaries of jobs and the words for searching are
// made from the entries and can be made again at any time; the store knows how
// far they have come (streams.folded) and hands out what is behind.
//
// Every table names the site, and every question asks within one: a person of
// one site gets no row of another.
//
// There is one SQL text for both databases, with places $1, $2, …; a dialect
// names the few differences. Times are whole microseconds since 1970 UTC.
package store
