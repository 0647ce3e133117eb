package ledger

import "pumpwright/calc/quantity"

// Prices is what a shop asks for its work, and what it may sell instead.
type Prices struct {
	Currency    string            `json:"currency" optional:"yes" help:"currency of all prices of the shop and of its model sheets"`
	LabourRate  *float64          `json:"labour_rate" help:"price of an hour of work"`
	TeardownFee *float64          `json:"teardown_fee" help:"price of teardown and report when the rebuild is declined"`
	ValidDays   *float64          `json:"valid_days" help:"days for which a quote holds"`
	Unclaimed   *float64          `json:"unclaimed_days" help:"days after which a pump that nobody fetches may be scrapped"`
	NewPumps    []NewPump         `json:"new_pumps" optional:"yes" help:"what a new pump of a model costs"`
	Upgrades    []Upgrade         `json:"upgrades" optional:"yes" help:"what can be made better at a rebuild"`
	Medians     map[string]Median `json:"labour_medians" optional:"yes" help:"median hours of the shop's own jobs, by stage"`
	Years       *float64          `json:"years" help:"life over which courses of action are compared (10 years when missing)"`
	Discount    *float64          `json:"discount" help:"rate of interest, a fraction a year (0.08 when missing)"`
	Inflation   *float64          `json:"inflation" help:"inflation, a fraction a year (0 when missing)"`
}

// NewPump is a new pump in place of the old one.
type NewPump struct {
	Sheet     string   `json:"sheet" help:"model sheet of the pump that it replaces"`
	Name      string   `json:"name" optional:"yes" help:"what it is"`
	Price     float64  `json:"price" help:"price"`
	LeadDays  float64  `json:"lead_days" optional:"yes" help:"days until it is here"`
	Scrap     float64  `json:"scrap" optional:"yes" help:"what the old pump brings"`
	Piping    float64  `json:"piping" optional:"yes" help:"cost of pipes, base and alignment that a new pump asks for"`
	YearsWear *float64 `json:"years_between_rebuilds" help:"years it runs between rebuilds"`
}

// Upgrade makes a rebuilt pump better than new.
type Upgrade struct {
	Sheet     string   `json:"sheet" help:"model sheet it fits"`
	Name      string   `json:"name" help:"what it is"`
	Price     float64  `json:"price" help:"price on top of the rebuild"`
	LeadDays  float64  `json:"lead_days" optional:"yes" help:"days until it is here"`
	YearsWear *float64 `json:"years_between_rebuilds" help:"years the pump then runs between rebuilds"`

	// What the pump then delivers comes from these; without them it is taken to
	// deliver what the rebuilt one does.
	Renews       []string         `json:"renews" optional:"yes" help:"parts of the model sheet whose worn sizes are then as new, for example casing, when it is bored and sleeved"`
	EndClearance *quantity.Length `json:"end_clearance" help:"end clearance to which it is then set, where that differs"`
}

// Sized reports whether the upgrade says what changes in the pump's gaps.
func (u *Upgrade) Sized() bool { return len(u.Renews) > 0 || u.EndClearance != nil }

// UpgradeOf returns the first upgrade of a model sheet, or nil.
func (s *Shop) UpgradeOf(sheet string) *Upgrade {
	if s == nil || s.Prices == nil {
		return nil
	}
	for i := range s.Prices.Upgrades {
		if s.Prices.Upgrades[i].Sheet == sheet {
			return &s.Prices.Upgrades[i]
		}
	}
	return nil
}

// Median is what a stage of the shop's own jobs took.
type Median struct {
	Hours float64 `json:"hours" help:"median hours"`
	Jobs  int     `json:"jobs" help:"how many jobs stand behind it"`
}
