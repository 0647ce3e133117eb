package access

import (
	"slices"

	"pumpwright/calc/say"
)

// Role is what somebody is in the shop.
type Role string

// Show prints the word in the language of a style.
func (v Role) Show(s say.Style) string { return v.Message().Text(s) }

// Message returns the word as a message.
func (v Role) Message() say.Message { return say.Word("access", string(v)) }

// The roles.
const (
	Technician Role = "technician" // takes pumps apart, measures, rebuilds
	Inspector  Role = "inspector"  // checks and signs
	Lead       Role = "lead"       // decides, and runs the tool
	Office     Role = "office"     // receives, quotes, keeps the papers
	Operations Role = "operations" // runs the plant the pump stands in
	Customer   Role = "customer"   // owns the pump, sees his own jobs
	Reader     Role = "reader"     // looks on
)

// Roles lists the roles.
func Roles() []Role {
	return []Role{Technician, Inspector, Lead, Office, Operations, Customer, Reader}
}

// Operation is something that a person or a program can do.
type Operation string

// The operations.
const (
	ListJobs    Operation = "list jobs"
	ReadJob     Operation = "read a job"
	Receive     Operation = "receive a pump"
	WriteBench  Operation = "write bench entries"            // readings, findings, trials, steps, photos …
	MarkStep    Operation = "mark a step"                    // of a stage in which the role works
	WriteNote   Operation = "write notes"                    // a note, a photo, readings of the running pump
	Decide      Operation = "decide"                         // what becomes of a part, a cause, a limit
	Quote       Operation = "quote"                          // a quote or its answer
	ChangeBasis Operation = "change what a job is done with" // sheet, service, instruments of a job
	Sign        Operation = "sign"                           // at a hold point, in a role that may
	VoidOwn     Operation = "void an own entry"
	VoidAny     Operation = "void an entry of another"
	CloseJob    Operation = "close a job"
	ReadPapers  Operation = "read photos and papers"
	ReadSheets  Operation = "read sheets"
	WriteSheets Operation = "write sheets" // model sheets, services, liquids
	ReadShop    Operation = "read instruments and stock"
	WriteTools  Operation = "write instruments"
	WriteStock  Operation = "write stock"
	WriteLimits Operation = "write site limits"
	Search      Operation = "search"
	ReadPumps   Operation = "read the history of pumps"
	ReadNames   Operation = "read names"
	WritePeople Operation = "write people" // people, their roles, sign-ins and tablets
	Share       Operation = "share a job"
	Backup      Operation = "back up"
	Settle      Operation = "settle the site" // name and settings
	Exchange    Operation = "take tables in and give them out"
	WriteTokens Operation = "write tokens"   // what programs come in with
	WriteHooks  Operation = "write webhooks" // whom the shop tells of changes
)

// everybody of the shop, without the plant and the customer.
var shopFloor = []Role{Technician, Inspector, Lead, Office}

// insiders may look at everything.
var insiders = []Role{Technician, Inspector, Lead, Office, Reader}

// Permits names the roles for each operation. An operation that is missing is
// denied to all.
var Permits = map[Operation][]Role{
	ListJobs:    {Technician, Inspector, Lead, Office, Reader, Operations, Customer},
	ReadJob:     {Technician, Inspector, Lead, Office, Reader, Operations, Customer},
	ReadPapers:  {Technician, Inspector, Lead, Office, Reader, Operations, Customer},
	Receive:     shopFloor,
	WriteBench:  {Technician, Inspector, Lead},
	MarkStep:    {Technician, Inspector, Lead, Office, Operations},
	WriteNote:   {Technician, Inspector, Lead, Office, Operations},
	Decide:      {Inspector, Lead},
	Quote:       {Office, Lead},
	ChangeBasis: {Lead},
	Sign:        {Technician, Inspector, Lead, Office, Operations, Customer},
	VoidOwn:     {Technician, Inspector, Lead, Office, Operations},
	VoidAny:     {Inspector, Lead},
	CloseJob:    {Lead, Office},
	ReadSheets:  insiders,
	WriteSheets: {Lead, Office},
	ReadShop:    insiders,
	WriteTools:  {Inspector, Lead},
	WriteStock:  shopFloor,
	WriteLimits: {Lead},
	Search:      insiders,
	ReadPumps:   insiders,
	ReadNames:   {Technician, Inspector, Lead, Office, Reader, Operations},
	WritePeople: {Lead},
	Share:       {Office, Lead},
	Backup:      {Lead, Office},
	Settle:      {Lead},
	Exchange:    {Lead, Office},
	WriteTokens: {Lead},
	WriteHooks:  {Lead},
}

// May reports whether one of the roles may do something.
func May(roles []Role, do Operation) bool {
	for _, r := range Permits[do] {
		if slices.Contains(roles, r) {
			return true
		}
	}
	return false
}

// OwnJobsOnly reports whether somebody sees only the jobs of one owner: a
// customer who is nothing else.
func OwnJobsOnly(roles []Role) bool {
	for _, r := range roles {
		if r != Customer {
			return false
		}
	}
	return true
}
