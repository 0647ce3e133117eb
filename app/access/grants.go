package access

import "slices"

// Grant is a part of what a person may do that is given to a program. A
// program does what both the roles of the person and its grants allow.
type Grant string

// The grants.
const (
	GrantRead   Grant = "read"   // look at everything the person sees
	GrantEnter  Grant = "enter"  // receive pumps and write entries of jobs
	GrantSign   Grant = "sign"   // sign hold points in the person's name
	GrantKeep   Grant = "keep"   // sheets, instruments, stock, settings
	GrantManage Grant = "manage" // people, links, tokens, webhooks, backups
)

// Grants lists the grants.
func Grants() []Grant { return []Grant{GrantRead, GrantEnter, GrantSign, GrantKeep, GrantManage} }

// granted names the grant that an operation takes. One that is missing is
// denied to every program.
var granted = map[Operation]Grant{
	ListJobs: GrantRead, ReadJob: GrantRead, ReadPapers: GrantRead, ReadSheets: GrantRead, ReadShop: GrantRead,
	Search: GrantRead, ReadPumps: GrantRead, ReadNames: GrantRead,
	Receive: GrantEnter, WriteBench: GrantEnter, MarkStep: GrantEnter, WriteNote: GrantEnter, Decide: GrantEnter, Quote: GrantEnter,
	ChangeBasis: GrantEnter, VoidOwn: GrantEnter, VoidAny: GrantEnter, CloseJob: GrantEnter,
	Sign:        GrantSign,
	WriteSheets: GrantKeep, WriteTools: GrantKeep, WriteStock: GrantKeep, WriteLimits: GrantKeep, Settle: GrantKeep, Exchange: GrantKeep,
	WritePeople: GrantManage, Share: GrantManage, Backup: GrantManage, WriteTokens: GrantManage, WriteHooks: GrantManage,
}

// Within reports whether the grants of a program cover an operation.
func Within(grants []Grant, do Operation) bool {
	g, known := granted[do]
	return known && slices.Contains(grants, g)
}
