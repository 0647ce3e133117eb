package ledger

// Machine is what the shop knows of the machine of a job over its earlier
// rebuilds.
type Machine struct {
	Hours        *float64 `json:"hours_since_rebuild,omitempty" help:"running hours since the last rebuild"`
	YearsBetween *float64 `json:"years_between_rebuilds,omitempty" help:"mean time between rebuilds, years"`
	Runs         int      `json:"runs,omitempty" optional:"yes" help:"how many runs stand behind it"`
}

// MachineHours returns the running hours of the machine since its last rebuild;
// nil when the shop does not know them.
func (s *Shop) MachineHours() *float64 {
	if s == nil || s.Machine == nil || s.Machine.Hours == nil || !(*s.Machine.Hours >= 0) {
		return nil
	}
	return s.Machine.Hours
}

// YearsBetween returns how long the machine runs between rebuilds; nil when the
// shop does not know it.
func (s *Shop) YearsBetween() *float64 {
	if s == nil || s.Machine == nil || s.Machine.YearsBetween == nil || !(*s.Machine.YearsBetween > 0) {
		return nil
	}
	return s.Machine.YearsBetween
}
