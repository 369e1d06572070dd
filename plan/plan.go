// Package plan reads plan and store files and works out what the till should
// do with a planned basket.
//
// Load makes a Plan of YAML; Plan.Price makes its Bill, and PriceAs one
// transaction's bill over what the till really rung. The package opens no files
// and asks no clock: a plan's {file: …} store comes through a func that the
// caller passes in.
package plan

import (
	"tillproof/money"

	"github.com/shopspring/decimal"
)

// Plan is one validated plan file, with its store file's settings merged in.
type Plan struct {
	// File is the name that errors and results give.
	File     string
	Store    Store
	Date     Date // zero: the receipt's
	Currency string
	// Taxes is empty where no tax is expected.
	Taxes        []Tax
	Transactions []*Transaction
	// Offers are in file order, which is the order within a step.
	Offers  []*Offer
	Claimed *Claimed

	compiled *compiled
}

// Store is where the trip goes, and how its till computes.
type Store struct {
	Name string // "": any store
	// File is the store file's name, "" where the plan names the store only.
	File         string
	Jurisdiction string // ISO 3166-2, "US-MI"
	Policy       Policy
	Aisles       []string
	Prints       map[string][]string
	// Names are the texts that this till prints for items, by code (14 digits) or
	// by name in small letters.
	Names map[string][]string
}

// Policy is how a store's till computes where it departs from the usual. The
// zero value is the usual till.
type Policy struct {
	// Order is the order of the three steps; nil: shelf, store, maker.
	Order []Step
	// Measure is the default of spend offers; "": sale.
	Measure Measure
	// OneAppOrStoreSlot: app offers and store coupons share one slot
	// (app_with_store_coupon: no).
	OneAppOrStoreSlot bool
	// NoCouponOnFreeUnit: free units are not eligible (coupon_on_free_unit: no).
	NoCouponOnFreeUnit bool
	// Overage: what a coupon is worth above its line comes off the basket.
	Overage bool
	// RoundByUnit: a percentage is rounded for each unit (percent_rounding: unit).
	RoundByUnit bool
	// CashRounding is the step cash totals are rounded to; zero: none.
	CashRounding money.Amount
	// PriceMatchDays and AdjustDays are the days in which the store matches or
	// corrects a price; 0: not said.
	PriceMatchDays, AdjustDays int
}

// Step is one of the three passes in which deductions are taken.
type Step string

// The steps, in their usual order.
const (
	StepShelf Step = "shelf"
	StepStore Step = "store"
	StepMaker Step = "maker"
)

// Tax is one tax rate and what it is taken of.
type Tax struct {
	Rate money.Rate
	// Items are ids or tags of the taxable items; nil: all.
	Items []string
	// MakerUntaxed: makers' coupons lower the taxed amount (maker_coupons: untaxed).
	MakerUntaxed bool
	// ByItem: worked out and rounded for each line (basis: item).
	ByItem bool
}

// Transaction is one planned pass through the till.
type Transaction struct {
	Index      int // place in Plan.Transactions
	ID         string
	Date       Date // zero: the receipt's
	PayWith    []Payment
	Items      []*Item
	Candidates []*Item
	Claimed    *Claimed
	Pos        Pos
}

// Payment is one entry of pay_with.
type Payment struct {
	// Kind is card, cash, gift card, points or store credit; for a credit
	// earned in this plan, that credit's kind.
	Kind string
	// Credit is the offer whose credit is spent, nil otherwise.
	Credit *Offer
	// Held: a credit from before this plan.
	Held bool
	// Amount is what is paid so; zero with neither Credit nor Held: the rest.
	Amount money.Amount
	Pos    Pos
}

// Claimed are the planner's own figures; nil where not claimed.
type Claimed struct {
	OutOfPocket, FinalCost, PerUnit *money.Amount
	Pos                             Pos
}

// Item is one planned product.
type Item struct {
	Index    int // place in Transaction.Items
	ID, Name string
	// Code is the GTIN as 14 digits, "" where not given.
	Code     string
	PrintsAs []string
	// Quantity is in units, at least 1; for weighed goods 1, and Weight holds.
	Quantity int
	// Weight is set for weighed goods, in Unit (lb, oz, kg, g); the line is one unit.
	Weight *decimal.Decimal
	Unit   string
	// Shelf is the regular price of one unit, or of one unit of weight.
	Shelf money.Amount
	Sale  *Sale
	// Fee is a deposit or charge for each unit.
	Fee          money.Amount
	Tags         []string
	StockUpBelow *money.Amount
	PriceFrom    PriceFrom
	Pos          Pos
}

// Sale is this week's price: Price for each For units.
type Sale struct {
	Price money.Amount
	For   int // 1 for a plain price
	// MustBuy: only full groups of this many get the price; 0: each unit does.
	MustBuy int
}

// PriceFrom says where the planned price was seen.
type PriceFrom string

// Where prices are seen.
const (
	FromLabel   PriceFrom = "label"
	FromAdvert  PriceFrom = "advert"
	FromHearsay PriceFrom = "hearsay"
)

// Offer is one coupon, promotion, reward or rebate.
type Offer struct {
	Index     int // place in Plan.Offers
	ID, Title string
	FundedBy  string // store or maker
	CarriedAs string // shelf, paper, print, app or loyalty
	// AppliesTo are item ids or tags.
	AppliesTo []string
	// Buy is the units in one use, at least 1; or Spend the money.
	Buy     int
	Spend   *money.Amount
	Measure Measure // "": the store's
	// Exactly one of Deduct, Credit and Rebate is set.
	Deduct *Deduct
	Credit *Credit
	Rebate *Rebate
	// Reduces is how many units of one use Deduct reduces: 0 all, else the
	// cheapest that many.
	Reduces int
	// Held is how many of the coupon there are; nil: as many as apply.
	Held        *int
	Limit       Limit
	Valid       Span
	Accumulates *Span
	// Repeats: used again for each further full amount.
	Repeats        bool
	VoidIfPaidWith []Payment
	SeenValues     []Deduct
	CouponCode     string
	// Remembered: what it gives was taken from CouponCode by codes whose meaning is
	// from memory, so that nothing firm may rest on it.
	Remembered   bool
	Terms, Proof string
	SeenOn       Date
	ClaimTo      string
	Pos          Pos
}

// Step is the pass in which o's deduction is taken.
func (o *Offer) Step() Step {
	switch {
	case o.FundedBy == "maker":
		return StepMaker
	case o.CarriedAs == "shelf":
		return StepShelf
	}
	return StepStore
}

// Measure says which amounts a spend offer adds up.
type Measure string

// The measures.
const (
	MeasureShelf            Measure = "shelf"
	MeasureSale             Measure = "sale"
	MeasureAfterShelfOffers Measure = "after shelf offers"
	MeasureAfterStoreOffers Measure = "after store offers"
	MeasureNet              Measure = "net"
)

// Deduct is what is taken off at the till, per use. Exactly one field is set.
type Deduct struct {
	Amount  *money.Amount
	Percent *money.Rate
	Free    bool
	To      *money.Amount
}

// Credit is given at the till for later.
type Credit struct {
	Kind string // gift card, points or store credit
	// Value is money, or Percent of the measured amount.
	Value        money.Amount
	Percent      *money.Rate
	Points       int
	ExpiresAfter int    // days, 0: never
	Shows        string // receipt, slip or account
}

// Rebate is paid after the trip.
type Rebate struct {
	Value money.Amount
	// Paid: the value is what was paid for the units.
	Paid         bool
	AtMost       *money.Amount
	SubmitBy     Date
	SubmitWithin int // days, 0: not said
}

// Limit counts uses; 0 is no limit.
type Limit struct{ PerTransaction, TransactionsPerDay, Total int }

// Span is a run of days, both ends included; a zero end is open.
type Span struct{ From, Through Date }

// Contains reports whether d is in s. A zero d is in every span.
func (s Span) Contains(d Date) bool {
	return d.IsZero() || (s.From.IsZero() || !d.Before(s.From)) && (s.Through.IsZero() || !s.Through.Before(d))
}

// String is s in words: "2026-05-01 through 2026-05-09", "from" or "through" the
// one end that is set, or "" where neither is.
func (s Span) String() string {
	switch {
	case s == (Span{}):
		return ""
	case s.From.IsZero():
		return "through " + s.Through.String()
	case s.Through.IsZero():
		return "from " + s.From.String()
	}
	return s.From.String() + " through " + s.Through.String()
}
