package accuracy

import (
	"fmt"

	"tillproof/money"
)

// Percent is a percentage in hundredths, rounded half up: 9951 is 99.51%.
type Percent int64

// percentOf is part of whole; whole is above 0.
func percentOf(part, whole int) Percent {
	return Percent((int64(part)*20000 + int64(whole)) / (2 * int64(whole)))
}

// String is the percentage with two digits and its sign: "99.51%".
func (p Percent) String() string { return fmt.Sprintf("%d.%02d%%", p/100, p%100) }

// MarshalText is String.
func (p Percent) MarshalText() ([]byte, error) { return []byte(p.String()), nil }

// Tally is how one store's prices came out.
type Tally struct {
	Store string `json:"store"`
	// From and Through are the first and last day checked.
	From    string `json:"from,omitempty"`
	Through string `json:"through,omitempty"`
	// Items counts distinct items by day.
	Items        int `json:"items"`
	Overcharges  int `json:"overcharges"`
	Undercharges int `json:"undercharges"`
	// Over and Under are the money charged too much and too little.
	Over  money.Amount `json:"over"`
	Under money.Amount `json:"under"`
	// Accuracy is the share of items without an error of either kind; Accurate
	// says whether it is at least 98%, by the exact counts.
	//
	// Source: NIST Handbook 130, Examination Procedure for Price Verification
	// (by a press summary of "Price Check II", December 1998).
	Accuracy Percent `json:"accuracy"`
	Accurate bool    `json:"accurate"`
	// OverchargeRate is the share of items charged too much.
	OverchargeRate Percent `json:"overcharge_rate"`
	// Ratio is overcharges to undercharges with two digits, "" without the
	// latter. Far above 1 errors fall on one side (from memory: it is looked at
	// from about ten errors on).
	Ratio string `json:"ratio,omitempty"`
	// Errors are the items that were charged otherwise than posted.
	Errors []Check `json:"errors"`
	Rules  []Rule  `json:"rules"`
}

// Rule is a tally held against one state's rule. It says what an inspector's
// sample of these very items would lead to, no more.
type Rule struct {
	Jurisdiction string `json:"jurisdiction"`
	Source       string `json:"source"`
	// Exceeded: the sample is over what the rule lets pass.
	Exceeded bool `json:"exceeded"`
	// TooFew: the rule is for samples larger than this one.
	TooFew bool   `json:"too_few,omitempty"`
	Text   string `json:"text"`
}

func (t *Tally) add(c Check) {
	if c.Day != "" {
		t.Through = c.Day
		if t.From == "" {
			t.From = c.Day
		}
	}
	t.Items++
	switch over := c.over(); over.Sign() {
	case 1:
		t.Overcharges++
		t.Over = t.Over.Add(over)
		t.Errors = append(t.Errors, c)
	case -1:
		t.Undercharges++
		t.Under = t.Under.Sub(over)
		t.Errors = append(t.Errors, c)
	}
}

func (t *Tally) finish() {
	wrong := t.Overcharges + t.Undercharges
	t.Accuracy = percentOf(t.Items-wrong, t.Items)
	t.Accurate = !aboveTwoPercent(wrong, t.Items)
	t.OverchargeRate = percentOf(t.Overcharges, t.Items)
	if t.Undercharges > 0 {
		hundredths := (200*t.Overcharges + t.Undercharges) / (2 * t.Undercharges)
		t.Ratio = fmt.Sprintf("%d.%02d", hundredths/100, hundredths%100)
	}
	if t.Errors == nil {
		t.Errors = []Check{}
	}
	t.Rules = []Rule{t.northCarolina(), t.newYork()}
}

// aboveTwoPercent compares the counts themselves, so that no rounding decides.
func aboveTwoPercent(n, of int) bool { return 100*n > 2*of }

// The lots of an inspection in North Carolina.
const firstLot, followUpLot = 50, 300

// northCarolina: only overcharges count; more than 2% in the first lot of 50
// items leads to a follow-up of 300, and more than 2% there to inspections every
// 60 days until it is at most 2%.
func (t *Tally) northCarolina() Rule {
	r := Rule{Jurisdiction: "US-NC", Source: "North Carolina Department of Agriculture and Consumer Services, Standards Division, press releases of 2019 to 2023",
		Exceeded: aboveTwoPercent(t.Overcharges, t.Items)}
	r.Text = fmt.Sprintf("%d of %d items overcharged, %s; more than 2%% fails", t.Overcharges, t.Items, t.OverchargeRate)
	switch {
	case t.Items < firstLot:
		r.TooFew = true
		r.Text += fmt.Sprintf("; a first lot has %d", firstLot)
	case r.Exceeded && t.Items < followUpLot:
		r.Text += fmt.Sprintf("; in a first lot it leads to a follow-up of %d items", followUpLot)
	case r.Exceeded:
		r.Text += "; in a follow-up it leads to inspections every 60 days until it is at most 2%"
	}
	return r
}

// newYork: a penalty is possible when more than 2% of the sample are overcharges,
// and for any large overcharge.
func (t *Tally) newYork() Rule {
	large := 0
	for _, c := range t.Errors {
		if c.Large() {
			large++
		}
	}
	over := aboveTwoPercent(t.Overcharges, t.Items)
	r := Rule{Jurisdiction: "US-NY", Source: "New York Agriculture and Markets Law, section 197-b", Exceeded: over || large > 0}
	r.Text = fmt.Sprintf("%d of %d items overcharged, %s, %d of them large (0.25 or more on a unit of up to 2.50, 10%% or more above); more than 2%%, or a large one, may be fined",
		t.Overcharges, t.Items, t.OverchargeRate, large)
	return r
}
