//go:build js

// Command tablet is the pages of a job for a tablet without network. It is
// built for js/wasm and runs in the worker of the pages: the same handler as
// the server's, over the entries of the job as they were copied and what waits
// in the browser on top of them. The release build carries it.
package main
