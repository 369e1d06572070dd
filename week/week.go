// Package week makes sense of a folder of receipts: which photos are parts of
// one receipt, which show the same one, which planned transaction each is of,
// and what comes of it all.
//
// Assess is the function to read first: it is the whole way from readings to a
// Week. Everything is decided over the folder at once, nothing is guessed: what
// cannot be told comes back as a Question, and an answer is an input like any
// other. The package does no I/O and asks no clock, so the same readings, plans
// and answers always give the same Week.
package week

import (
	"tillproof/audit"
	"tillproof/ledger/state"
	"tillproof/money"
	"tillproof/ocr"
	"tillproof/parse"
	"tillproof/plan"
)

// Unit is one file of the folder, as it was read.
type Unit struct {
	Name, SHA256 string
	// Load returns its pages. It is called once, and what it returns is changed.
	Load func() ([]ocr.Page, error)
}

// PlanFile is one plan of the planner's folder.
type PlanFile struct {
	File, SHA256 string
	Plan         *plan.Plan
}

// Earlier is a receipt of another folder.
type Earlier struct {
	ID                                       string
	Store, Date, Time, Register, Transaction string
	Total                                    *money.Amount
	Plan, Planned                            string
}

// EarlierCredit is a credit of a receipt in another folder.
type EarlierCredit struct {
	Due, Plan, Offer, Date string
	Value                  money.Amount
}

// Contribution is what one receipt adds to an offer that adds up over receipts.
type Contribution struct {
	Receipt string       `json:"receipt"`
	Offer   string       `json:"-"` // offerKey: the same offer in several plans
	Amount  money.Amount `json:"amount"`
	Date    string       `json:"date"`
}

// Input is what Assess decides on.
type Input struct {
	Units []Unit
	Plans []PlanFile
	// Earlier and Toward are of receipts in other folders. Find, where it is not
	// nil, finds more of the former: those with one of the totals.
	Earlier []Earlier
	Toward  []Contribution
	Find    func(totals []money.Amount) []Earlier
	// Credits are those that receipts of other folders earned and that are not
	// spent.
	Credits []EarlierCredit
	// IDs are the receipts that photos were parts of before, so that a receipt
	// keeps its id when another photo of it turns up.
	IDs map[Part]string
	// Answers are what a person said, by the id of the question.
	Answers map[string]string
	// Tool is named in the results.
	Tool string
	// Keep, where it is not nil, is given each receipt once it is decided, with
	// all that was read of it and its result.
	Keep func(r *Receipt)
	// Shelve, where it is not nil, puts away what was read of a receipt, and
	// returns what gets it back, from several goroutines at once. A Week then
	// holds the heads and sums of its receipts alone.
	Shelve func(r *parse.Receipt) (back func() *parse.Receipt)
}

// Part is one receipt in one file; N counts the receipts in a file from 0.
type Part struct {
	SHA256 string `json:"sha256"`
	N      int    `json:"n,omitempty"`
}

// File is a part under its file's name.
type File struct {
	Name string `json:"name"`
	Part
}

// Week is what a folder of receipts comes to.
type Week struct {
	Version  int        `json:"version"`
	Receipts []*Receipt `json:"receipts"`
	// Aside are the files that hold no receipt of a purchase, and why.
	Aside     []Aside    `json:"aside"`
	Questions []Question `json:"questions"`
	Toward    []Toward   `json:"toward"`
	Dues      []Due      `json:"due"`
	Findings  []Finding  `json:"findings"`
	Spent     []Spent    `json:"spent"`
	Totals    Totals     `json:"totals"`
	// Unshopped are the planned transactions that no receipt is of.
	Unshopped []Planned `json:"unshopped"`
}

// Planned names a transaction of a plan.
type Planned struct {
	Plan        string `json:"plan"`
	Transaction string `json:"transaction"`
}

// Receipt is one receipt of the folder.
type Receipt struct {
	ID string `json:"id"`
	// Files are its photos from top to bottom, Copies other photos of the same.
	Files  []File            `json:"files"`
	Copies []File            `json:"copies,omitempty"`
	Kind   parse.ReceiptKind `json:"kind"`
	Store  string            `json:"store,omitempty"`
	Date   string            `json:"date,omitempty"`
	Time   string            `json:"time,omitempty"`
	Total  *money.Amount     `json:"total,omitempty"`
	Planned
	// Score says how well it fits the transaction, above 1 for items, date and
	// total all right.
	Score   float64       `json:"score,omitempty"`
	Verdict audit.Verdict `json:"verdict,omitempty"`
	// Why says, a sentence each, what is behind a verdict that is not short, whose
	// findings the Week lists; where all is as planned, what was bought besides.
	Why []string `json:"why,omitempty"`
	// SameAs is a receipt that this one is, or may be until a question is
	// answered: it is not counted.
	SameAs string `json:"same_as,omitempty"`
	// Refers is the purchase that a return or a reward slip belongs to.
	Refers string   `json:"refers,omitempty"`
	Notes  []string `json:"notes,omitempty"`
	// Read is what was read, Result the audit's; nil where it is of no plan. In a
	// Week whose receipts were put away by Input.Shelve they are without lines,
	// matches and findings.
	Read   *parse.Receipt `json:"-"`
	Result *audit.Result  `json:"-"`

	plan *PlanFile
	tx   *plan.Transaction
	at   []spot
	day  plan.Date
	cold *cold // all of Read, where that is only its head
	came       // what follows from Result
}

// came is what comes of one receipt by itself.
type came struct {
	dues      []ownDue
	found     []Finding
	toward    []Contribution
	questions []Question
}

// ownDue is a due of a receipt; slip is a credit that only a slip shows.
type ownDue struct {
	Due
	slip *plan.BillCredit
}

// Day is the day that counts for r: the one that was read, else the planned one.
func (r *Receipt) Day() plan.Date { return r.day }

// Counted reports whether r counts as a purchase of its own.
func (r *Receipt) Counted() bool { return r.Kind == parse.KindSale && r.SameAs == "" }

// Paid is what the receipt comes to, as far as it was read; nil where it was
// not.
func (r *Receipt) Paid() *money.Amount {
	if r.Result != nil && r.Result.OutOfPocket.Actual != nil {
		return r.Result.OutOfPocket.Actual
	}
	return r.Total
}

// Aside is a file that holds no receipt to count.
type Aside struct {
	File File   `json:"file"`
	Why  string `json:"why"`
	// Receipt is the receipt it belongs to, empty for none.
	Receipt string `json:"receipt,omitempty"`
}

// Toward is how far an offer has come that adds up over receipts.
type Toward struct {
	Offer    string         `json:"offer"`
	Title    string         `json:"title"`
	Amount   money.Amount   `json:"amount"`
	Of       money.Amount   `json:"of"`
	Through  plan.Date      `json:"through,omitzero"`
	Reached  bool           `json:"reached"`
	Receipts []Contribution `json:"receipts"`
}

// Due is a credit or rebate that a receipt gives a claim to.
type Due struct {
	ID      string `json:"id"`
	Receipt string `json:"receipt"`
	state.Claim
}

// Finding is a firm finding that lost money, with what is needed to follow it.
type Finding struct {
	ID      string `json:"id"`
	Receipt string `json:"receipt"`
	Title   string `json:"title"`
	// Carried is how the offer is carried (shelf, paper, print, app, loyalty);
	// price for what is no offer.
	Carried string `json:"carried"`
	audit.Finding
}

// Spent says that a credit of one receipt paid for another.
type Spent struct {
	Due     string       `json:"due"`
	Receipt string       `json:"receipt"`
	Date    plan.Date    `json:"date,omitzero"`
	Amount  money.Amount `json:"amount"`
}

// Totals adds up the counted receipts of a plan.
type Totals struct {
	Receipts    int          `json:"receipts"`
	Planned     int          `json:"planned"`
	Short       int          `json:"short"`
	Undecided   int          `json:"undecided"`
	Expected    money.Amount `json:"expected"`
	Actual      money.Amount `json:"actual"`
	ShortAtTill money.Amount `json:"short_at_till"`
	ShortCredit money.Amount `json:"short_credit"`
}

// assessor is one assessment on its way.
type assessor struct {
	in     Input
	w      *Week
	stores []string // the plans' stores, each once
	pieces []*piece
	used   map[string]bool // ids of receipts
	known  map[string]bool // those of them that were there before
	open   map[string]bool // ids of questions
	others map[string]int  // further papers in a file, by its SHA-256
}

// Assess decides what the folder's receipts are and what comes of them.
func Assess(in Input) *Week {
	a := &assessor{in: in, used: map[string]bool{}, known: map[string]bool{}, open: map[string]bool{}, others: map[string]int{}, w: &Week{Version: 1, Receipts: []*Receipt{}, Aside: []Aside{}, Questions: []Question{}, Toward: []Toward{},
		Dues: []Due{}, Findings: []Finding{}, Spent: []Spent{}, Unshopped: []Planned{}}}
	a.findStores()
	a.readAll()
	a.joinParts()
	a.receipts()
	a.sameTwice()
	a.sameEarlier()
	a.assign()
	a.audit()
	a.owed()
	a.accumulate()
	a.spent()
	a.ask()
	a.total()
	return a.w
}

// total adds up, and puts the receipts in the order of their days.
func (a *assessor) total() {
	t := &a.w.Totals
	for _, r := range a.w.Receipts {
		if !r.Counted() {
			continue
		}
		t.Receipts++
		if r.Result == nil {
			continue
		}
		t.Planned++
		switch r.Verdict {
		case audit.Short:
			t.Short++
		case audit.Undecided:
			t.Undecided++
		}
		t.Expected = t.Expected.Add(r.Result.OutOfPocket.Expected)
		if p := r.Paid(); p != nil {
			t.Actual = t.Actual.Add(*p)
		}
		t.ShortAtTill, t.ShortCredit = t.ShortAtTill.Add(r.Result.ShortAtTill), t.ShortCredit.Add(r.Result.ShortCredit)
	}
	sortReceipts(a.w.Receipts)
}
