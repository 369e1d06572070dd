package plan

import (
	"tillproof/money"

	"github.com/shopspring/decimal"
)

// Bill is what the till should do with a whole plan. Its JSON is that of
// section 3 of the result format ("price --json").
type Bill struct {
	Version      int                `json:"version"`
	Store        string             `json:"store,omitempty"`
	Date         Date               `json:"date,omitzero"`
	Currency     string             `json:"currency,omitempty"`
	Transactions []*TransactionBill `json:"transactions"`
	OutOfPocket  money.Amount       `json:"out_of_pocket"`
	Credits      money.Amount       `json:"credits"`
	Rebates      money.Amount       `json:"rebates"`
	FinalCost    money.Amount       `json:"final_cost"`
	PerUnit      money.Amount       `json:"per_unit"`
	Toward       []Toward           `json:"toward,omitempty"`
	Warnings     []Warning          `json:"warnings"`
}

// TransactionBill is what the till should do with one transaction.
type TransactionBill struct {
	ID    string     `json:"id"`
	Date  Date       `json:"date,omitzero"`
	Lines []BillLine `json:"lines"`
	// BasketDeductions are those of spend offers and of overage.
	BasketDeductions []BasketDeduction `json:"basket_deductions"`
	Tax              money.Amount      `json:"tax"`
	TaxSteps         []Sum             `json:"tax_steps,omitempty"`
	Fees             money.Amount      `json:"fees,omitzero"`
	Rounding         money.Amount      `json:"rounding,omitzero"`
	OutOfPocket      money.Amount      `json:"out_of_pocket"`
	CashDue          money.Amount      `json:"cash_due"`
	Credits          []BillCredit      `json:"credits"`
	Rebates          []BillRebate      `json:"rebates"`
	FinalCost        money.Amount      `json:"final_cost"`
	PerUnit          money.Amount      `json:"per_unit"`
	Steps            []Sum             `json:"steps,omitempty"`
}

// Sum is one step of a sum: what was done, and what it came to.
type Sum struct {
	Text   string       `json:"text"`
	Amount money.Amount `json:"amount"`
}

// BillLine is one planned item as the till should ring it.
type BillLine struct {
	Item     string           `json:"item"`
	Quantity int              `json:"-"` // printed as a string by MarshalJSON
	Weight   *decimal.Decimal `json:"-"`
	Unit     string           `json:"-"`
	// Price is the line's price before offers (rule 1).
	Price money.Amount `json:"price"`
	// Regular is what the units cost at the shelf price.
	Regular    money.Amount `json:"-"`
	Fee        money.Amount `json:"fee,omitzero"`
	Deductions []Deduction  `json:"deductions"`
	// Net is Price less Deductions and the shares of basket deductions excluded.
	Net   money.Amount `json:"net"`
	Steps []Sum        `json:"steps,omitempty"`
}

// Deduction is what one offer takes off one line.
type Deduction struct {
	Offer  string       `json:"offer"`
	Uses   int          `json:"uses"`
	Amount money.Amount `json:"amount"`
	Steps  []Sum        `json:"steps,omitempty"`
	// Covered is how many units of the line it reduces: the cents of rounding
	// that rule 6 allows.
	Covered int `json:"-"`
}

// BasketDeduction is what one spend offer takes off the basket.
type BasketDeduction struct {
	Offer  string                  `json:"offer"`
	Amount money.Amount            `json:"amount"`
	Shares map[string]money.Amount `json:"shares"`
	Steps  []Sum                   `json:"steps,omitempty"`
}

// BillCredit is a credit that should be given at the till.
type BillCredit struct {
	Offer   string       `json:"offer"`
	Kind    string       `json:"kind"`
	Value   money.Amount `json:"value"`
	Points  int          `json:"points,omitempty"`
	Uses    int          `json:"-"`
	Expires Date         `json:"expires,omitzero"`
	Steps   []Sum        `json:"steps,omitempty"`
}

// BillRebate is a rebate that should be paid after the trip.
type BillRebate struct {
	Offer    string       `json:"offer"`
	Value    money.Amount `json:"value"`
	Uses     int          `json:"-"`
	SubmitBy Date         `json:"submit_by,omitzero"`
	Steps    []Sum        `json:"steps,omitempty"`
}

// Toward is how far the plan gets with an offer that adds up over receipts.
type Toward struct {
	Offer  string       `json:"offer"`
	Amount money.Amount `json:"amount"`
	Of     money.Amount `json:"of"`
}

// Warning is something in a plan that a planner would want to know.
type Warning struct {
	// Kind is threshold, limit, slot, dates, paid-with-reward, claim, held or unused.
	Kind   string        `json:"kind"`
	Text   string        `json:"text"`
	Offer  string        `json:"offer,omitempty"`
	Items  []string      `json:"items,omitempty"`
	Amount *money.Amount `json:"amount,omitempty"`
}

// Rung is what a till actually did with a transaction, as far as a receipt
// shows it: PriceAs prices the plan over it. What Rung leaves out is as planned.
type Rung struct {
	// Date is the receipt's; zero: the plan's.
	Date Date
	// Items are the lines rung, by Item.Index; an item with no entry is as planned.
	Items map[int]RungItem
	// Offers are the deductions taken, by Offer.Index; an offer with an entry
	// takes off just that, an offer without takes what it should.
	Offers map[int]RungOffer
	// Credits are those given, by Offer.Index, in the same way.
	Credits map[int]money.Amount
	// Tax is the tax rung; nil: as it should be.
	Tax *money.Amount
	// PaidWith are the tenders read, as kinds; nil: as planned.
	PaidWith []string
}

// RungItem is one planned item as it was rung.
type RungItem struct {
	// Quantity is the units rung, 0 where the item is not on the receipt.
	Quantity int
	// Weight is the weight rung, for weighed goods; nil: as planned.
	Weight *decimal.Decimal
	// Price is the line price rung before offers; nil: what Quantity should cost.
	Price *money.Amount
	// Fee is the fee rung; nil: what Quantity should cost.
	Fee *money.Amount
}

// RungOffer is what one offer took off: by Item.Index, or off the basket
// (Basket, shared out by the engine), or nothing at all.
type RungOffer struct {
	Items  map[int]money.Amount
	Basket money.Amount
}

// Taken is what the offer of that id takes off in b, and how many units its
// rounding may touch.
func (b *TransactionBill) Taken(offer string) (sum money.Amount, covered int) {
	for i := range b.Lines {
		for k := range b.Lines[i].Deductions {
			if d := &b.Lines[i].Deductions[k]; d.Offer == offer {
				sum = sum.Add(d.Amount)
				covered += max(d.Covered, 1)
			}
		}
	}
	for i := range b.BasketDeductions {
		if d := &b.BasketDeductions[i]; d.Offer == offer {
			sum = sum.Add(d.Amount)
			covered += max(len(d.Shares), 1)
		}
	}
	return sum, covered
}
