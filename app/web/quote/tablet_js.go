package quote

import "pumpwright/app/web/frame"

// A tablet without network shows the quotes of a job and takes the customer's
// answer. A new one is made where the stock and its number are known.
var routes = []frame.Route{
	{Pattern: "GET /job/{job}/quote", Handle: show},
	{Pattern: "GET /job/{job}/quote/{number}", Handle: one},
}

const stockHere = false
