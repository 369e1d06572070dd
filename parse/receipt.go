// Package parse makes a receipt of lines of words: which line is an item, a
// coupon, a total, and which amounts the receipt's own sums prove.
//
// Read Receipt first, then Parse. The package knows nothing of any plan:
// amounts must not be read with the planned answer in hand, or the audit would
// prove nothing. It does no I/O; a second look at a doubtful amount on the
// photo is a func passed in.
package parse

import (
	"tillproof/money"
	"tillproof/ocr"

	"github.com/shopspring/decimal"
)

// Receipt is what a receipt says, line by line, and what its own sums prove.
// Its JSON is that of section 3 of the result format ("read --json").
type Receipt struct {
	// Kind is sale, return, slip (a reward printed by itself) or other.
	Kind ReceiptKind `json:"kind"`
	// Store is the name printed at the head, as read.
	Store string `json:"store,omitempty"`
	// Date is ISO 8601 (2026-05-09), "" where none was read. Where its day and
	// month could be either, it is read as in the United States, month first,
	// and DateOther is the second reading.
	Date      string `json:"date,omitempty"`
	DateOther string `json:"date_other,omitempty"`
	// Time is hh:mm or hh:mm:ss, 24 hours.
	Time        string `json:"time,omitempty"`
	Register    string `json:"register,omitempty"`
	Transaction string `json:"transaction,omitempty"`
	Lines       []Line `json:"lines"`
	// The amounts of the receipt's sums, nil where the receipt has none or it
	// was not read. Each also stands in its line, with its proof.
	Subtotal  *money.Amount `json:"subtotal,omitempty"`
	Tax       *money.Amount `json:"tax,omitempty"`
	Total     *money.Amount `json:"total,omitempty"`
	Tenders   []Tender      `json:"tenders,omitempty"`
	Change    *money.Amount `json:"change,omitempty"`
	ItemCount *int          `json:"item_count,omitempty"`
	// Messages are the lines of kind message, as text: rewards, greetings.
	Messages []string `json:"messages,omitempty"`
	Complete Complete `json:"complete"`
	Photos   []Photo  `json:"photos,omitempty"`
	// Firm is what FirmBody reports.
	Firm bool `json:"firm"`
	// Sums lists the sums that were tried, for a person to follow.
	Sums []Sum `json:"sums,omitempty"`
	// Warnings and advice for a person: what could not be read and what to do.
	Warnings []string `json:"warnings,omitempty"`
}

// ReceiptKind says what sort of paper it is.
type ReceiptKind string

// The kinds of receipt.
const (
	KindSale   ReceiptKind = "sale"
	KindReturn ReceiptKind = "return"
	KindSlip   ReceiptKind = "slip"
	KindOther  ReceiptKind = "other"
)

// LineKind says what a printed line is.
type LineKind string

// The kinds of line.
const (
	LineItem      LineKind = "item"
	LineQuantity  LineKind = "quantity"
	LineDeduction LineKind = "deduction"
	LineCredit    LineKind = "credit"
	LineVoid      LineKind = "void"
	LineFee       LineKind = "fee"
	LineMessage   LineKind = "message"
	LineSubtotal  LineKind = "subtotal"
	LineTax       LineKind = "tax"
	LineTotal     LineKind = "total"
	LineTender    LineKind = "tender"
	LineChange    LineKind = "change"
	LineOther     LineKind = "other"
)

// Proof says how far an amount can be trusted.
type Proof string

// The proofs of an amount, the strongest first.
const (
	// Proved: it takes part in a sum on the receipt that works out.
	Proved Proof = "proved"
	// Repaired: it was misread, and exactly one reading makes the sums work out.
	Repaired Proof = "repaired"
	// Corrected: a person typed it.
	Corrected Proof = "corrected"
	// Read: read clearly, but in no sum.
	Read Proof = "read"
	// Doubtful: the sums do not work out, or the print cannot be read.
	Doubtful Proof = "doubtful"
)

// Firm reports whether p is proved, repaired or corrected.
func (p Proof) Firm() bool { return p == Proved || p == Repaired || p == Corrected }

// Proved is the number of lines whose amount is proved, repaired or corrected.
func (r *Receipt) Proved() (n int) {
	for i := range r.Lines {
		if l := &r.Lines[i]; l.Amount != nil && l.Proof.Firm() {
			n++
		}
	}
	return n
}

// Line is one printed line.
type Line struct {
	// N counts the receipt's lines from 1; Of is the line that a quantity, void
	// or deduction belongs to, 0 where it belongs to none or that is not known.
	N    int      `json:"n"`
	Of   int      `json:"of,omitempty"`
	Kind LineKind `json:"kind"`
	Text string   `json:"text"`
	// Name is the printed name without quantity, code, flags and amount.
	Name string `json:"name,omitempty"`
	// Code is a product code printed on the line, digits only.
	Code string `json:"code,omitempty"`
	// Quantity is in units, or in Unit where the goods were weighed.
	Quantity *decimal.Decimal `json:"quantity,omitempty"`
	Unit     string           `json:"unit,omitempty"`
	// UnitPrice is the price of one unit, or of PriceFor units ("2 @ 2/5.00"
	// has unit price 5.00 for 2). PriceFor is 0 where it is one.
	UnitPrice *decimal.Decimal `json:"unit_price,omitempty"`
	PriceFor  int              `json:"price_for,omitempty"`
	// Flags are the tax or department letters printed beside the amount.
	Flags string `json:"flags,omitempty"`
	// Amount is what the line adds to the receipt's sum: deductions and voids
	// are negative whichever side of the number the minus stands on. nil where
	// the line has none, or it cannot be read (Proof is then Doubtful).
	Amount *money.Amount `json:"amount,omitempty"`
	// Points is the number of points a credit or message line names, 0 for none.
	Points     int     `json:"points,omitempty"`
	Proof      Proof   `json:"proof,omitempty"`
	Confidence float64 `json:"confidence,omitempty"`
	Box        *Box    `json:"box,omitempty"`
	Photo      int     `json:"photo,omitempty"`
	// Unread: the line was seen and could not be read at all.
	Unread bool `json:"unread,omitempty"`
	// Plain are the words of a photo's line whose letters are beyond doubt. Of a text
	// every word is.
	Plain []string `json:"-"`
	// UnitsUnsure: a photo's line begins with a number of units that was not read for sure,
	// and Quantity is nil.
	UnitsUnsure bool `json:"-"`
	// Conditional: the line says what could be had, or for what, and gives nothing:
	// "a 5.00 reward for each 100.00", "you could win 250.00".
	Conditional bool `json:"-"`
}

// Box is left, top, width and height in pixels of the upright photo.
type Box [4]int

// Tender is one way the receipt was paid.
type Tender struct {
	// Kind is card, cash, gift card, points, store credit, check or other.
	Kind   string       `json:"kind"`
	Amount money.Amount `json:"amount"`
	// Last4 are the last digits printed of a card number, at most four of them.
	Last4 string `json:"last4,omitempty"`
	Line  int    `json:"line"`
}

// Complete says whether the paper's ends are in the picture and the lines
// there were read; for text both are true.
type Complete struct {
	Top    bool `json:"top"`
	Bottom bool `json:"bottom"`
}

// Photo names a photo the receipt was read from.
type Photo struct {
	Name   string `json:"name"`
	SHA256 string `json:"sha256"`
	Taken  string `json:"taken,omitempty"`
}

// Sum is one of the receipt's own sums: that the amounts of Lines give Want.
type Sum struct {
	// Kind is items, total, tenders, extension (quantity × unit price) or count.
	Kind string `json:"kind"`
	// Lines are the lines that add up, by number; To is the line that states
	// Want, 0 where none does (nothing is left to pay).
	Lines []int        `json:"lines"`
	To    int          `json:"to,omitempty"`
	Want  money.Amount `json:"want"`
	Got   money.Amount `json:"got"`
	Holds bool         `json:"holds"`
}

// Words are a store's own words for the kinds of line, from its store file:
// a map from coupon, store offer, credit, gift card, points, void, subtotal,
// tax, total and items to the texts this till prints.
type Words map[string][]string

// SecondLook reads the amount of a line once more: the crop
// larger, in other preparations, digits only. It returns further readings of
// that line, none where nothing new was seen.
type SecondLook func(line ocr.Line) []ocr.Reading

// Options are what the parser may be told besides the lines.
type Options struct {
	Words Words
	// Again is asked about amounts that leave a sum open; nil: never.
	Again SecondLook
}

// FirmBody reports whether every line from the first item to the total (and
// on to the tenders, where coupons may stand there) was read and their sums
// close: what is needed before anything may be said to be missing from it.
// A text must show how it was paid; on a photo that shows the paper's lower
// end a total without tenders is enough, since bills are printed so.
func (r *Receipt) FirmBody() bool { return r.Firm }

// Line returns line n, counted from 1.
func (r *Receipt) Line(n int) *Line { return &r.Lines[n-1] }
