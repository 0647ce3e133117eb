package calculator

import (
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"
)

const (
	inR       = "computed with R 4.2.2 / survival 3.5-3"
	inScipy   = "computed with scipy 1.10.1"
	handbook  = "NIST/SEMATECH e-Handbook"
	jcgm      = "JCGM 100:2008, from memory, recomputed"
	lifeGuide = "Pump Life Cycle Costs guide (US DOE/GO-102001-1190, 2001), from memory, recomputed"
	hourSI    = 3600.0
)

// dataRows reads an open data set of package life without its head.
func dataRows(t *testing.T, file string) [][]string {
	t.Helper()
	f, err := os.Open("../../calc/life/testdata/" + file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return rows[1:]
}

// systemsOf makes the input of recurrence from rows of system, hours, event.
func systemsOf(rows [][]string) string {
	events, ends, order := map[string][]string{}, map[string]string{}, []string{}
	for _, row := range rows {
		if _, seen := ends[row[0]]; !seen {
			order = append(order, row[0])
			ends[row[0]] = ""
		}
		if row[2] == "end" {
			ends[row[0]] = row[1]
		} else {
			events[row[0]] = append(events[row[0]], row[1])
		}
	}
	var b strings.Builder
	b.WriteString("systems:\n")
	for _, name := range order {
		end := ends[name]
		if end == "" {
			end = events[name][len(events[name])-1]
		}
		fmt.Fprintf(&b, "  - {events: [%s], end: %s}\n", strings.Join(events[name], ", "), end)
	}
	return b.String()
}

func TestContractUncertainty(t *testing.T) {
	checkContract(t, []contractRow{
		{id: "resolution", source: jcgm, name: "budget", input: "parts: [{name: step, half_width: 0.005 mm, shape: Rectangular}]", abs: 1e-11, want: map[string]float64{"u": 0.00288675e-3}},
		{id: "rectangular", source: "JCGM 100, 4.3.7", name: "budget", input: "parts: [{name: a, half_width: 0.02}]", abs: 1e-7, want: map[string]float64{"u": 0.0115470}},
		{id: "triangular", source: "JCGM 100, 4.3.9", name: "budget", input: "parts: [{name: a, half_width: 0.02, shape: triangular}]", abs: 1e-8, want: map[string]float64{"u": 0.00816497}},
		{id: "H.1", source: "JCGM 100, H.1, inputs as in the R package metRology, result recomputed", name: "budget", abs: 0.1e-9, input: `parts:
  - {name: standard, u: 25 nm, dof: 18}
  - {name: difference, u: 9.682 nm, dof: 25.447}
  - {name: expansions, u: 0.58e-6 1/K, sensitivity: "-5.0000623 mm·K", dof: 50}
  - {name: temperatures, u: 0.029 K, sensitivity: -575.007 nm/K, dof: 2}
confidence: 0.99
`, want: map[string]float64{"u": 31.705e-9}},
		{id: "one-sided 95 %", source: "normal quantile 1.644854", name: "decide", abs: 1e-9, input: "{\"measured\": \"0.15 mm\", \"u\": \"5 µm\", \"lower\": \"0.10 mm\", \"upper\": null, \"confidence\": null}",
			want: map[string]float64{"acceptance_lower": 0.1e-3 + 1.644854*5e-6}},
		{id: "one-sided 99 %", source: "normal quantile 2.326348", name: "decide", abs: 1e-9, input: "{measured: 0.15 mm, u: 5 µm, lower: 0.10 mm, confidence: 99 %}",
			want: map[string]float64{"acceptance_lower": 0.1e-3 + 2.326348*5e-6}},
		{id: "four normal", source: "JCGM 101:2008, 9.2.2, exact 2 and ±3.91993", name: "chain", abs: 0.02, input: "links: [{name: a, value: 0, u: 1}, {name: b, value: 0, u: 1}, {name: c, value: 0, u: 1}, {name: d, value: 0, u: 1}]\nsamples: 1000000\nseed: 3\n",
			want: map[string]float64{"value.u": 2, "monte_carlo.u": 2, "monte_carlo.low": -3.91993, "monte_carlo.high": 3.91993}},
		{id: "four rectangular", source: "JCGM 101:2008, 9.2.3, exact ±3.87941", name: "chain", abs: 0.02, input: "links: [{name: a, low: -1.7320508, high: 1.7320508}, {name: b, value: 0, low: -1.7320508, high: 1.7320508}, {name: c, low: -1.7320508, high: 1.7320508}, {name: d, low: -1.7320508, high: 1.7320508}]\nsamples: 1000000\n",
			want: map[string]float64{"monte_carlo.low": -3.87941, "monte_carlo.high": 3.87941}},
	})
	doc, _, err := askJSON(t, "chain", "links: [{name: a, value: 10 mm, u: 0.01 mm}, {name: b, value: 4 mm, u: 0.02 mm, sensitivity: -1}, {name: c, value: 1 mm, low: 0.98 mm, high: 1.02 mm}]\ncorrelation: [{a: a, b: b, rho: 0.4}]\n")
	if err != nil {
		t.Fatal(err)
	}
	total := 0.0
	for i := range 3 {
		share, ok := followNumber(doc, fmt.Sprintf("results.contributions[%d].share", i))
		if !ok {
			t.Fatal(doc)
		}
		total += share
	}
	nearTo(t, "contributions add to 1", total, 1, 1e-12)
	u, _ := followNumber(doc, "results.value.u")
	nearTo(t, "c V c", u, math.Sqrt(1e-10+4e-10-2*0.4*2e-10+4e-10/3), 1e-12)
	if _, there := follow(doc, "results.monte_carlo"); there {
		t.Error("no draws were asked for: samples are 0 by default")
	}
}

// A design worked by hand: part 10, 20, 30; operator 0, +5, −5; interaction by
// operator [4,−4,0], [−4,0,4], [0,4,−4]; trial −1, +1.
func TestContractGaugeStudy(t *testing.T) {
	var b strings.Builder
	b.WriteString("rows:\n")
	interaction := [3][3]float64{{4, -4, 0}, {-4, 0, 4}, {0, 4, -4}}
	for o, operator := range []float64{0, 5, -5} {
		for p := range 3 {
			for trial, step := range []float64{-1, 1} {
				fmt.Fprintf(&b, "  - {part: %d, operator: \"%c\", trial: %d, value: %v}\n", p+1, 'A'+o, trial+1, float64(10*(p+1))+operator+interaction[o][p]+step)
			}
		}
	}
	checkContract(t, []contractRow{
		{id: "by hand", source: "definition, by hand; checked in R", name: "gauge-study", input: b.String(), rel: 1e-9, want: map[string]float64{
			"anova[0].ss": 1200, "anova[1].ss": 300, "anova[2].ss": 192, "anova[3].ss": 18, "anova[0].dof": 2, "anova[2].dof": 4, "anova[3].dof": 9, "anova[2].f": 24,
			"repeatability": math.Sqrt(2), "reproducibility": math.Sqrt(40), "grr": math.Sqrt(42), "part_variation": math.Sqrt(92), "total_variation": math.Sqrt(134)}},
		{id: "by hand, verdict", source: "definition, by hand; checked in R", name: "gauge-study", input: b.String(), rel: 1e-4, want: map[string]float64{"anova[2].p": 8.0821e-05, "percent": 55.9851, "categories": 2}},
		{id: "sums of squares", source: "AIAG, Measurement Systems Analysis, 4th ed., recomputed with R", name: "gauge-study", input: "file: grr_aiag_10x3x3.csv\nmethod: ANOVA\n", abs: 1e-6, want: map[string]float64{
			"anova[0].ss": 88.361934, "anova[1].ss": 3.167262, "anova[2].ss": 0.358982, "anova[3].ss": 2.758933, "anova[4].ss": 94.647112, "anova[4].dof": 89, "anova[2].f": 0.433721}},
		{id: "over the interaction", source: inR, name: "gauge-study", input: "file: grr_aiag_10x3x3.csv\n", abs: 1e-4, want: map[string]float64{"anova[0].f": 492.2914, "anova[1].f": 79.40605}},
		{id: "average and range", source: "AIAG, Measurement Systems Analysis, 4th ed.", name: "gauge-study", input: "file: grr_aiag_10x3x3.csv\nmethod: Range\n", abs: 2e-5, want: map[string]float64{
			"repeatability": 0.201857, "reproducibility": 0.229667, "grr": 0.305766, "part_variation": 1.104596, "total_variation": 1.146135, "categories": 5}},
	})
	doc, _, err := askJSON(t, "gauge-study", b.String())
	if err != nil {
		t.Fatal(err)
	}
	if pooled, _ := follow(doc, "results.pooled"); pooled != false {
		t.Error("an interaction of p 8e-5 must not be pooled")
	}
	doc, _, err = askJSON(t, "gauge-study", "file: grr_aiag_10x3x3.csv")
	if err != nil || !strings.Contains(fmt.Sprint(doc["warnings"]), "pooled") {
		t.Errorf("pooling must be said: %v %v", doc["warnings"], err)
	}
}

func TestContractWear(t *testing.T) {
	var b strings.Builder
	b.WriteString("points:\n")
	for _, row := range dataRows(t, "reg_oxygen_purity.csv") {
		fmt.Fprintf(&b, "  - {hours: %s, value: %s}\n", row[0], row[1])
	}
	purity := b.String() + "limit: 120\n"
	const montgomery = "Montgomery and Runger, Applied Statistics, ch. 11, from memory, recomputed with R"
	checkContract(t, []contractRow{
		{id: "oxygen", source: montgomery, name: "wear-trend", input: purity + "at: [1.00]\nconfidence: 0.95\n", abs: 1e-6, want: map[string]float64{
			"intercept": 74.283314, "slope": 14.947480, "slope_u": 1.316758, "residual_sd": math.Sqrt(1.180545), "predictions[0].value": 89.230794, "predictions[0].low": 86.829687, "predictions[0].high": 91.631901}},
		{id: "oxygen, 90 % is the default", source: inR, name: "wear-trend", input: purity + "at: 1.5\n", abs: 1e-6, want: map[string]float64{
			"predictions[0].hours": 1.5, "predictions[0].value": 96.704534, "predictions[0].low": 94.652903, "predictions[0].high": 98.756165}},
		{id: "two units of time", source: "a year of 8766 h", name: "wear-trend", input: "points: [{hours: 0, value: 1 mm}, {hours: 1000 h, value: 2 mm}, {hours: 2000, value: 3.0001 mm}]\nlimit: 4 mm\nat: [1 year]\n", rel: 1e-3,
			want: map[string]float64{"predictions[0].hours": 8766, "hours_at_limit": 3000}},
	})
}

func TestContractLife(t *testing.T) {
	var modes [2]strings.Builder
	for m := range modes {
		modes[m].WriteString("rows:\n")
		for _, row := range dataRows(t, "competing_modes_shock_absorber.csv") {
			status := 0
			if row[1] == fmt.Sprintf("mode%d", m+1) {
				status = 1
			}
			fmt.Fprintf(&modes[m], "  - {time: %s h, status: %d}\n", row[0], status)
		}
	}
	ages := func(failed int) string {
		var b strings.Builder
		b.WriteString("confidence: 0.90\nrows:\n")
		for i, age := range []int{1500, 1750, 2250, 4000, 4300, 5000, 7000} {
			status := 0
			if i < failed {
				status = 1
			}
			fmt.Fprintf(&b, "  - {time: %d h, status: %d}\n", age, status)
		}
		return b.String()
	}
	checkContract(t, []contractRow{
		{id: "ball bearings", source: "Lieblein and Zelen 1956, " + inR, name: "life", input: "{\"file\": \"weibull_ball_bearings.csv\", \"distribution\": \"Weibull\", \"beta\": null}", rel: 2e-4, want: map[string]float64{
			"shape": 2.101847, "scale": 81.87456 * hourSI, "log_likelihood": -113.691959, "shape_se": 0.328657, "scale_se": 8.600926 * hourSI, "shape_low": 1.503991, "shape_high": 2.791265,
			"scale_low": 65.695 * hourSI, "scale_high": 100.873 * hourSI, "b10": 28.0651 * hourSI, "b10_low": 16.285 * hourSI, "b10_high": 40.760 * hourSI, "mean": 72.5154 * hourSI, "failures": 23, "suspensions": 0}},
		{id: "shock absorbers", source: "O'Connor 1985, " + inR, name: "life", input: "file: weibull_shock_absorber.csv\ndistribution: weibull\nconfidence: 95 %\n", rel: 2e-4, want: map[string]float64{
			"shape": 3.160470, "scale": 27718.719 * hourSI, "log_likelihood": -123.995361, "shape_low": 1.898532, "shape_high": 4.771391, "scale_low": 23330.07 * hourSI, "scale_high": 37961.91 * hourSI,
			"b10": 13600.03 * hourSI, "b10_high": 17291.24 * hourSI, "mean": 24811.54 * hourSI, "failures": 11, "suspensions": 27}},
		{id: "exponential", source: inR, name: "life", input: "file: weibull_shock_absorber.csv\ndistribution: Exponential\n", rel: 1e-5, want: map[string]float64{"scale": 56818.18 * hourSI, "log_likelihood": -131.423728}},
		{id: "first mode", source: inR, name: "life", input: modes[0].String(), rel: 1e-5, want: map[string]float64{"shape": 3.383946, "scale": 31205.798 * hourSI, "log_likelihood": -81.497976}},
		{id: "second mode", source: inR, name: "life", input: modes[1].String(), rel: 1e-5, want: map[string]float64{"shape": 2.822211, "scale": 40865.861 * hourSI, "log_likelihood": -49.636145}},
		{id: "beta 2, two failed", source: inScipy, name: "life", input: ages(2) + "beta: 2\n", rel: 1e-6, want: map[string]float64{"scale": 7709.2477 * hourSI, "scale_low": 4345.1198 * hourSI}},
		{id: "beta 3, two failed", source: inScipy, name: "life", input: ages(2) + "beta: 3\n", rel: 1e-6, want: map[string]float64{"scale": 6809.9623 * hourSI, "scale_low": 4646.6277 * hourSI}},
		{id: "beta 1, none failed", source: inScipy, name: "life", input: ages(0) + "beta: 1\n", rel: 1e-6, want: map[string]float64{"scale": 25800 * hourSI, "scale_low": 8612.252 * hourSI}},
		{id: "beta 3, none failed", source: inScipy, name: "life", input: ages(0) + "beta: 3\n", rel: 1e-6, want: map[string]float64{"scale": 8580.0149 * hourSI, "scale_low": 5951.8737 * hourSI}},
		{id: "stock 90 %", source: "Poisson, " + inScipy, name: "spares", input: "{rate: 0.0001 1/h, units: 20, lead_time: 90 d, service_level: 90 %}", want: map[string]float64{"stock": 7}},
		{id: "stock 99 %", source: "Poisson, " + inScipy, name: "spares", input: "{rate: 1e-4, units: 20, lead_time: 2160 h, service_level: 0.99}", want: map[string]float64{"stock": 10}},
		{id: "mean 1", source: "maintenance calculator page, 99.6 %; definition", name: "spares", input: "{rate: 0.001, units: 1, lead_time: 1000 h, service_level: 0.99}", abs: 1e-6, want: map[string]float64{"stock": 4, "achieved": 0.996340}},
		{id: "mean 8", source: "Poisson, " + inScipy, name: "spares", input: "{rate: 0.001, units: 8, lead_time: 1000 h, service_level: 0.99}", want: map[string]float64{"stock": 15}},
	})
}

func TestContractRecurrence(t *testing.T) {
	single := func(file, end string) string {
		var hours []string
		for _, row := range dataRows(t, file) {
			hours = append(hours, row[0])
		}
		if end == "" {
			end = hours[len(hours)-1]
		}
		return "{\"systems\": [{\"events\": [" + strings.Join(hours, ", ") + "], \"end\": " + end + "}], \"confidence\": 0.90}"
	}
	checkContract(t, []contractRow{
		{id: "two prototypes, stopped at a failure", source: "a reliability-growth reference page; recomputed", name: "recurrence", input: single("nhpp_two_prototypes.csv", ""), rel: 1e-5, want: map[string]float64{
			"beta": 0.614210, "lambda": 0.423942, "beta_low": 0.392872, "beta_high": 0.811372, "trend_statistic": 71.63669, "laplace_u": -2.783160, "intensity": 0.02179456, "mtbf": 45.8830 * hourSI}},
		{id: "ten failures, stopped by time", source: handbook + " 8.1.7, from memory; recomputed", name: "recurrence", input: single("nhpp_ten_failures.csv", "1500 h"), rel: 1e-5, want: map[string]float64{
			"beta": 0.537229, "lambda": 0.19665822, "beta_low": 0.291468, "beta_high": 0.843730, "trend_statistic": 37.22808, "laplace_u": -1.326949, "mtbf": 279.2106 * hourSI}},
	})
	var days [][]string
	for _, row := range dataRows(t, "mcf_valve_seats.csv") {
		days = append(days, row)
	}
	doc, _, err := askJSON(t, "recurrence", systemsOf(days))
	if err != nil {
		t.Fatal(err)
	}
	list, _ := follow(doc, "results.mcf")
	got := map[string][2]float64{}
	for i := range list.([]any) {
		at, _ := followNumber(doc, fmt.Sprintf("results.mcf[%d].time", i))
		value, _ := followNumber(doc, fmt.Sprintf("results.mcf[%d].value", i))
		high, _ := followNumber(doc, fmt.Sprintf("results.mcf[%d].high", i))
		got[strconv.FormatFloat(at, 'g', -1, 64)] = [2]float64{value, high}
	}
	// Nelson and Doganaksoy 1989; standard errors computed with R, bounds M exp(1.959964 se/M).
	for at, want := range map[string][2]float64{"61": {.02439024, .02409097}, "139": {.21951220, .07326981}, "323": {.48780488, .10973957}, "404": {.68353659, .13593896},
		"573": {.95853659, .16895814}, "604": {1.05971869, .18506099}, "640": {1.24354221, .22632442}, "653": {1.54268751, .31165608}} {
		nearTo(t, "M at "+at, got[at][0], want[0], 1e-7)
		nearTo(t, "bound at "+at, got[at][1], want[0]*math.Exp(1.959964*want[1]/want[0]), 3e-4*got[at][1])
	}
}

func TestContractMoney(t *testing.T) {
	option := func(initial, energy, routine, repair, more float64) string {
		return fmt.Sprintf("options: [{name: a, initial: %v, yearly: {energy: %v, routine: %v, more: %v}, events: [{year: 2, cost: %[5]v}, {year: 4, cost: %[5]v}, {year: 6, cost: %[5]v}, {year: 8, cost: %[5]v}]}]\nyears: 8\ndiscount: 8 %%\ninflation: 4 %%\n", initial, energy, routine, more, repair)
	}
	checkContract(t, []contractRow{
		{id: "new impeller", source: lifeGuide, name: "life-cost", input: option(2250, 6720, 500, 2500, 0), abs: 1, want: map[string]float64{"options[0].present_value": 59480.6}},
		{id: "new drive", source: lifeGuide, name: "life-cost", input: option(21500, 5568, 1000, 2500, 0), abs: 1, want: map[string]float64{"options[0].present_value": 74312.8}},
		{id: "as it is", source: lifeGuide, name: "life-cost", input: option(0, 11088, 500, 2500, 4000), abs: 1, want: map[string]float64{"options[0].present_value": 113929.8}},
		{id: "annuity", source: "standard tables, 10 %, 10 years", name: "life-cost", input: "{\"options\": [{\"name\": \"a\", \"initial\": 0, \"yearly\": {\"energy\": 1}, \"events\": []}], \"years\": 10, \"discount\": 0.1, \"inflation\": 0}", abs: 1e-8, want: map[string]float64{"options[0].present_value": 6.14456711}},
		{id: "soonest", source: "by hand", name: "cover", input: "needs: {seal: 1}\noffers: [{name: slow, price: 1, lead_time: 9 d, parts: {seal: 1}}, {name: fast, price: 5, lead_time: 24 h, parts: {seal: 1}}]\naim: Soonest\n", want: map[string]float64{"cost": 5, "choose.fast": 1}},
		{id: "least left over", source: "by hand", name: "cover", input: "needs: {seal: 1, pin: 1}\noffers: [{name: kit, price: 1, parts: {seal: 2, pin: 2}}, {name: seal, price: 5, parts: {seal: 1}}, {name: pin, price: 5, stock: 1, parts: {pin: 1}}]\naim: least left over\n", want: map[string]float64{"cost": 10, "choose.seal": 1, "choose.pin": 1}},
		{id: "nothing to buy", source: "by hand", name: "cover", input: "needs: {seal: 2}\noffers: [{name: seal, price: 3, stock: 1, parts: {seal: 1}}]\n", want: map[string]float64{"missing.seal": 1}, status: StatusNotYet},
	})
}
