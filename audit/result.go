// Package audit compares what a till did with what it should have done.
//
// Check is the function to read first: Bill, Receipt and matches become a
// Result of findings, each with its sum, cause, evidence and what to do. The
// rules are one file each, listed in rules.go in the order of the result format.
// The package does no I/O and asks no clock.
package audit

import (
	"tillproof/money"
	"tillproof/parse"
	"tillproof/parse/match"
	"tillproof/plan"
)

// Result is the outcome of one check. Its JSON is that of section 3 of the
// result format ("check --json").
type Result struct {
	Version     int                   `json:"version"`
	Tool        string                `json:"tool"`
	Verdict     Verdict               `json:"verdict"`
	Plan        PlanRef               `json:"plan"`
	Transaction string                `json:"transaction,omitempty"`
	Receipt     *parse.Receipt        `json:"receipt"`
	Expected    *plan.TransactionBill `json:"expected,omitempty"`
	Matches     []match.Match         `json:"matches"`
	Findings    []Finding             `json:"findings"`
	NotChecked  []Note                `json:"not_checked"`
	ShortAtTill money.Amount          `json:"short_at_till"`
	ShortCredit money.Amount          `json:"short_credit"`
	Tolerated   money.Amount          `json:"tolerated"`
	Due         []Due                 `json:"due"`
	NotDue      []Note                `json:"not_due,omitempty"`
	OutOfPocket Compared              `json:"out_of_pocket"`
	// Undecided says in a sentence each why the verdict is undecided.
	Undecided []string `json:"undecided,omitempty"`
	// Notes are remarks that are no findings, such as another date than planned.
	Notes []string `json:"notes,omitempty"`
}

// Verdict is the answer in a word or two.
type Verdict string

// The verdicts.
const (
	AsPlanned Verdict = "as planned"
	Short     Verdict = "short"
	Gained    Verdict = "gained"
	TillRight Verdict = "till right"
	Undecided Verdict = "undecided"
)

// PlanRef names the plan file checked against.
type PlanRef struct {
	File   string `json:"file"`
	SHA256 string `json:"sha256"`
}

// Compared is one amount as it should be and as it was; Actual is nil where it
// was not read.
type Compared struct {
	Expected money.Amount  `json:"expected"`
	Actual   *money.Amount `json:"actual,omitempty"`
}

// Note is an offer and why it was not checked, or is not due.
type Note struct {
	Offer string `json:"offer,omitempty"`
	Item  string `json:"item,omitempty"`
	// What is set for what is neither: "tax".
	What string `json:"what,omitempty"`
	Why  string `json:"why"`
}

// Due is a rebate to claim after the trip, with the lines that prove it.
type Due struct {
	Offer    string       `json:"offer"`
	Value    money.Amount `json:"value"`
	Expected money.Amount `json:"expected"`
	SubmitBy plan.Date    `json:"submit_by,omitzero"`
	Lines    []int        `json:"lines"`
}

// Kind is the kind of a finding.
type Kind string

// The kinds of finding, in the order of the result format.
const (
	MissingDeduction   Kind = "missing-deduction"
	ShortDeduction     Kind = "short-deduction"
	ExtraDeduction     Kind = "extra-deduction"
	MisplacedDeduction Kind = "misplaced-deduction"
	MissingCredit      Kind = "missing-credit"
	ShortCredit        Kind = "short-credit"
	ExtraCredit        Kind = "extra-credit"
	Overcharge         Kind = "overcharge"
	Undercharge        Kind = "undercharge"
	MissingItem        Kind = "missing-item"
	UnplannedItem      Kind = "unplanned-item"
	Quantity           Kind = "quantity"
	SumFinding         Kind = "sum"
	TaxFinding         Kind = "tax"
	MissingRebate      Kind = "missing-rebate"
	CardDigits         Kind = "card-digits"
)

// Side says who answers for a finding.
type Side string

// The sides.
const (
	SideTill    Side = "till"
	SideShopper Side = "shopper"
	SidePlan    Side = "plan"
	SideOpen    Side = "open"
)

// Certainty says how far a finding can be trusted.
type Certainty string

// The certainties. Firm is proved or likely.
const (
	CertainProved Certainty = "proved"
	CertainLikely Certainty = "likely"
	CertainUnsure Certainty = "unsure"
)

// Firm reports whether c is proved or likely.
func (c Certainty) Firm() bool { return c == CertainProved || c == CertainLikely }

// Finding is one difference between plan and till, with its arithmetic.
type Finding struct {
	Kind  Kind     `json:"kind"`
	Offer string   `json:"offer,omitempty"`
	Items []string `json:"items,omitempty"`
	// Expected and Actual are the amounts themselves, as positive numbers.
	Expected money.Amount `json:"expected"`
	Actual   money.Amount `json:"actual"`
	// Difference and Effect are from the shopper's side: negative is money lost.
	// Effect takes in tax and other consequences.
	Difference money.Amount `json:"difference"`
	Effect     money.Amount `json:"effect"`
	Side       Side         `json:"side"`
	Certainty  Certainty    `json:"certainty"`
	// Lines are the receipt's lines that are the evidence.
	Lines       []int   `json:"lines"`
	Cause       Cause   `json:"cause"`
	OtherCauses []Cause `json:"other_causes"`
	// Do is what the person can do now.
	Do string `json:"do"`
	// Law says what laws and codes of the store's jurisdiction give, each with
	// its source and the caution to check locally.
	Law []string `json:"law,omitempty"`
	// NoticeDays is how many days such a law gives to tell the store, 0: none.
	NoticeDays int `json:"-"`
}

// Cause is what the till may have done. Exact is true only where doing so
// reproduces the receipt to the cent.
type Cause struct {
	Kind  CauseKind `json:"kind"`
	Exact bool      `json:"exact"`
	Text  string    `json:"text"`
}

// CauseKind names a cause.
type CauseKind string

// The causes.
const (
	NotScanned      CauseKind = "not-scanned"
	ScannedFewer    CauseKind = "scanned-fewer"
	Voided          CauseKind = "voided"
	LimitReached    CauseKind = "limit-reached"
	ThresholdMissed CauseKind = "threshold-missed"
	OtherBase       CauseKind = "other-base"
	OtherValue      CauseKind = "other-value"
	NeedsMoreUnits  CauseKind = "needs-more-units"
	SaleNotRung     CauseKind = "sale-not-rung"
	GroupIncomplete CauseKind = "group-incomplete"
	FreeUnitCharged CauseKind = "free-unit-charged"
	OtherItem       CauseKind = "other-item"
	OtherVariety    CauseKind = "other-variety"
	OutOfDate       CauseKind = "out-of-date"
	PaidWithReward  CauseKind = "paid-with-reward"
	CutToPrice      CauseKind = "cut-to-price"
	Rounding        CauseKind = "rounding"
	CashRounding    CauseKind = "cash-rounding"
	TaxBase         CauseKind = "tax-base"
	RungTwice       CauseKind = "rung-twice"
	PlanSum         CauseKind = "plan-sum"
	Unexplained     CauseKind = "unexplained"
)
