// Package watch tells those who run the server how it does: a health check,
// metrics in the Prometheus text format (version 0.0.4) and a line of log for
// each request.
//
// None of it holds personal data: no names, no addresses, no content, and of
// an address only its route, never what stands in it (GET /job/{job}, not
// GET /job/J-2041).
package watch
