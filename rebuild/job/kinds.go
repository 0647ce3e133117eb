package job

// The kinds of entries of a job. Each body below is the JSON of one kind,
// version 1.
const (
	KindOpen       = "open"
	KindSheet      = "sheet"
	KindService    = "service"
	KindBasis      = "basis"
	KindReading    = "reading"
	KindFinding    = "finding"
	KindStackFound = "stack-found"
	KindTrial      = "trial"
	KindDecision   = "decision"
	KindLimit      = "limit"
	KindStep       = "step"
	KindSign       = "sign"
	KindFitted     = "fitted"
	KindTestPoint  = "test-point"
	KindAlignment  = "alignment"
	KindRunning    = "running"
	KindTorque     = "torque"
	KindPress      = "press"
	KindSides      = "sides"
	KindHours      = "hours"
	KindPhoto      = "photo"
	KindDocument   = "document"
	KindNote       = "note"
	KindCause      = "cause"
	KindQuote      = "quote"
	KindOutside    = "outside-work"
	KindRelief     = "relief"
	KindMarks      = "marks"
	KindAccepted   = "instrument-accepted"
	KindVoid       = "void"
	KindClose      = "close"
)

// Kinds lists the kinds with what each is for, for help.
func Kinds() [][2]string {
	return [][2]string{
		{KindOpen, "opens the job: tag, serial, owner, complaint"},
		{KindSheet, "the model sheet that the job is done with"},
		{KindService, "what the pump is asked to do"},
		{KindBasis, "what came from outside the job: instruments, stock, site limits, prices"},
		{KindReading, "a reading of a feature at a place"},
		{KindFinding, "evidence seen, or looked for and not there"},
		{KindStackFound, "the gaskets of the old stack, in order, as measured"},
		{KindTrial, "a trial assembly: the stack fitted and what was measured"},
		{KindDecision, "reuse, rework, replace, with the reason"},
		{KindLimit, "a limit of the customer or the site"},
		{KindStep, "a step done or skipped, with the reason"},
		{KindSign, "a signature at a hold point"},
		{KindFitted, "what was fitted: batch, serial, elastomer"},
		{KindTestPoint, "a point of the bench test"},
		{KindAlignment, "a set of alignment readings"},
		{KindRunning, "readings of the running pump in service"},
		{KindTorque, "a pass of tightening with its value"},
		{KindPress, "a bushing pressed in, with what the press gauge showed"},
		{KindSides, "which way the pump turns and how its head stands"},
		{KindHours, "time worked at a stage"},
		{KindPhoto, "a photo with what it shows"},
		{KindDocument, "a paper kept as it is: safety data sheet, cleaning statement, order"},
		{KindNote, "a note"},
		{KindCause, "a cause named, suspected or confirmed"},
		{KindQuote, "a quote, or the answer to it"},
		{KindOutside, "work sent out and measured on return"},
		{KindRelief, "the relief valve as it was set and read on the stand"},
		{KindMarks, "marks on a photo"},
		{KindAccepted, "an instrument out of calibration used anyway, with the reason"},
		{KindVoid, "voids an entry, with the reason"},
		{KindClose, "closes the job"},
	}
}

// Open opens a job.
type Open struct {
	Job       string `json:"job"`
	Tag       string `json:"tag,omitempty"`    // the place
	Serial    string `json:"serial,omitempty"` // the machine
	Owner     string `json:"owner,omitempty"`
	Place     string `json:"place,omitempty"`
	Complaint string `json:"complaint,omitempty"`
	Previous  string `json:"previous,omitempty"`      // job of the last rebuild
	Removed   bool   `json:"removed_by_us,omitempty"` // the shop took it off its base
	Swapped   bool   `json:"suction_side_swapped,omitempty"`
	Invented  bool   `json:"invented,omitempty"`

	// Hours is how long the pump has run since its last rebuild, as the owner
	// says; nil when nobody knows.
	Hours *float64 `json:"hours_since_rebuild,omitempty"`
}

// Text is a text of its own form: a model sheet or a service in YAML.
type Text struct {
	Name   string `json:"name,omitempty"`
	Text   string `json:"text"`
	Reason string `json:"reason,omitempty"` // why the job moves to it
}

// Value is one value at one place.
type Value struct {
	Plane string   `json:"plane,omitempty"`
	Angle *float64 `json:"angle,omitempty"` // degrees
	Text  string   `json:"text,omitempty"`  // as typed
	Goes  string   `json:"goes,omitempty"`  // the thickest leaf that goes
	NoGo  string   `json:"no_go,omitempty"` // the thinnest leaf that does not
}

// Reading is one or more values of a feature.
type Reading struct {
	Feature    string  `json:"feature"`
	State      string  `json:"state"` // as-found, as-left
	Values     []Value `json:"values"`
	Instrument string  `json:"instrument,omitempty"`
	Pushed     string  `json:"pushed,omitempty"`    // head, drive: which way the shaft was pushed
	Float      string  `json:"float,omitempty"`     // bearing float that a dial value holds
	Confirmed  bool    `json:"confirmed,omitempty"` // an unlikely value was looked at again
	Note       string  `json:"note,omitempty"`
}

// Finding is evidence by its id.
type Finding struct {
	Evidence string  `json:"evidence"`
	Part     string  `json:"part,omitempty"`
	Absent   bool    `json:"absent,omitempty"` // looked for and not there
	Strength float64 `json:"strength,omitempty"`
	Washed   bool    `json:"washed,omitempty"` // seen only after it was washed or mixed
	Note     string  `json:"note,omitempty"`
}

// Piece is one gasket that was measured.
type Piece struct {
	Kind      string `json:"kind,omitempty"`
	Thickness string `json:"thickness,omitempty"`
	U         string `json:"u,omitempty"`
	Sealing   bool   `json:"sealing,omitempty"`
}

// StackFound is the old stack in order from casing to head.
type StackFound struct {
	Pieces []Piece `json:"pieces"`
	Mixed  bool    `json:"mixed,omitempty"` // order or pieces were lost
}

// Trial is a trial assembly.
type Trial struct {
	Counts      map[string]int `json:"counts"`
	Pieces      []Piece        `json:"pieces,omitempty"` // measured pieces of no stock kind
	Measured    string         `json:"measured,omitempty"`
	U           string         `json:"u,omitempty"`
	Goes        string         `json:"goes,omitempty"`
	NoGo        string         `json:"no_go,omitempty"`
	Float       string         `json:"float,omitempty"`
	Instrument  string         `json:"instrument,omitempty"`
	AfterTorque bool           `json:"after_torque,omitempty"`
	TurnsFreely *bool          `json:"turns_freely,omitempty"`
	Bound       bool           `json:"bound,omitempty"` // rotor bound after torque
	Notches     int            `json:"notches,omitempty"`
}

// Decision is what becomes of a part.
type Decision struct {
	Part     string `json:"part"`
	Decision string `json:"decision"` // reuse, rework, replace, engineering decision
	Reason   string `json:"reason,omitempty"`
}

// Limit is a limit from outside the sheet.
type Limit struct {
	Feature string `json:"feature"`
	Min     string `json:"min,omitempty"`
	Max     string `json:"max,omitempty"`
	Compare string `json:"compare,omitempty"`
	Rank    string `json:"rank"` // customer, site
	Source  string `json:"source,omitempty"`
}

// Sides is which way the pump turned and how its head stood; the last entry
// holds.
type Sides struct {
	Rotation   string `json:"rotation"`              // clockwise, anticlockwise, seen from the drive end
	HeadTurned bool   `json:"head_turned,omitempty"` // by half a turn from how the sheet builds it
	Note       string `json:"note,omitempty"`
}

// Mark is a step done or passed over.
type Mark struct {
	Step   string  `json:"step"`
	Mark   string  `json:"mark"` // done, skipped
	Reason string  `json:"reason,omitempty"`
	Amount float64 `json:"minutes,omitempty"`
}

// Sign is a signature at a hold point.
type Sign struct {
	Step string `json:"step"`
	Role string `json:"role"`
	For  string `json:"for,omitempty"`
	Note string `json:"note,omitempty"`
}

// Fitted is what was fitted.
type Fitted struct {
	Part      string `json:"part"`
	Batch     string `json:"batch,omitempty"`
	Serial    string `json:"serial,omitempty"`
	Elastomer string `json:"elastomer,omitempty"`
	Note      string `json:"note,omitempty"`
}

// TestPoint is one point of the bench test.
type TestPoint struct {
	Liquid      string `json:"liquid,omitempty"`
	Temperature string `json:"temperature,omitempty"`
	Viscosity   string `json:"viscosity,omitempty"`
	Density     string `json:"density,omitempty"`
	Speed       string `json:"speed"`
	Pressure    string `json:"pressure"`
	Flow        string `json:"flow"`
	Power       string `json:"power,omitempty"`
	FlowU       string `json:"flow_u,omitempty"`
	PowerU      string `json:"power_u,omitempty"`
	Note        string `json:"note,omitempty"`
}

// Torque is one pass of tightening.
type Torque struct {
	Fastener   string `json:"fastener"`
	Pass       int    `json:"pass"`
	Torque     string `json:"torque"`
	Instrument string `json:"instrument,omitempty"`
}

// Hours is time worked.
type Hours struct {
	Stage   string  `json:"stage"`
	Hours   float64 `json:"hours,omitempty"`
	Started bool    `json:"started,omitempty"`
	Stopped bool    `json:"stopped,omitempty"`
}

// Photo names a picture.
type Photo struct {
	Blob string `json:"blob"`           // hash of what is kept
	Sent string `json:"sent,omitempty"` // hash of what the writer sent
	Part string `json:"part,omitempty"`
	Step string `json:"step,omitempty"`
	Note string `json:"note,omitempty"`

	Finding string `json:"finding,omitempty"` // id of the finding that it shows
}

// Document names a paper.
type Document struct {
	Blob string `json:"blob"` // hash of what is kept
	Name string `json:"name,omitempty"`
	What string `json:"what,omitempty"` // safety data sheet, cleaning statement, order …
	Note string `json:"note,omitempty"`
}

// Note is a note.
type Note struct {
	Text string `json:"text"`
	Part string `json:"part,omitempty"`
}

// Cause is a cause that somebody names.
type Cause struct {
	Cause     string `json:"cause"`
	Confirmed bool   `json:"confirmed,omitempty"`
	Note      string `json:"note,omitempty"`
}

// Void takes an entry back.
type Void struct {
	Entry  string `json:"entry"`
	Reason string `json:"reason"`
}

// Close closes a job.
type Close struct {
	Result string `json:"result,omitempty"`
	Note   string `json:"note,omitempty"`
}
