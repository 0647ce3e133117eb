package ledger

// LearnedFactor is how pumps of one model slip or drag against the model of
// leak paths, as the shop's benches have shown.
type LearnedFactor struct {
	Sheet  string  `json:"sheet" help:"model sheet"`
	Factor string  `json:"factor" oneof:"slip|drag" help:"what it multiplies"`
	Value  float64 `json:"value" help:"median over pumps"`
	U      float64 `json:"u" help:"standard uncertainty of its logarithm for the next pump"`
	Jobs   int     `json:"jobs" help:"how many jobs stand behind it"`
}

// LearnedHours is how long a stage takes in this shop.
type LearnedHours struct {
	Sheet string  `json:"sheet" optional:"yes" help:"model sheet; all when missing"`
	Stage string  `json:"stage" help:"stage"`
	Hours float64 `json:"hours" help:"median"`
	Jobs  int     `json:"jobs" help:"how many jobs stand behind it"`
}
