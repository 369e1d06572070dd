package plan

import (
	"fmt"
	"slices"

	"tillproof/money"
	"tillproof/plan/coupon"
)

// fillFromCode fills in what the plan leaves out of an offer and its coupon's
// symbol says: what comes off, how many must be bought, and the dates. What the
// digits of a symbol mean is partly from memory (package coupon), so the plan's
// own words always go before, and what is taken from such digits is marked.
func (l *loader) fillFromCode(o *Offer, at offerNodes) {
	if o.CouponCode == "" {
		return
	}
	c, err := coupon.Parse(o.CouponCode)
	if err != nil {
		return // CodeRemarks says so
	}
	if o.Valid == (Span{}) {
		o.Valid.From, _ = ParseDate(c.Starts) // "" is no date
		o.Valid.Through, _ = ParseDate(c.Expires)
	}
	if at["deduct"] != nil || at["credit"] != nil || at["rebate"] != nil {
		return
	}
	w, ok := c.Worth()
	if !ok || len(c.Buy) != 1 || w.Basket || w.Free > 1 {
		return // the plan must say it
	}
	d := Deduct{Amount: w.Amount}
	switch {
	case w.Percent > 0:
		rate, err := money.ParseRate(fmt.Sprintf("%d%%", w.Percent))
		if err != nil {
			return
		}
		d.Percent = &rate
	case w.Free > 0:
		// The goods that are free are among those that the symbol asks for, as in
		// the guideline's figure 4 and its examples 3 and 4.
		d.Free = true
		if at["reduces"] == nil {
			o.Reduces = w.Free
		}
	}
	o.Remembered = c.Remembered()
	o.Deduct, at["deduct"] = &d, at["coupon_code"]
	if at["buy"] != nil || at["spend"] != nil {
		return
	}
	need := money.FromCents(int64(c.Buy[0].Amount))
	switch c.Buy[0].Code {
	case coupon.Units:
		if o.Buy == 0 {
			o.Buy = max(c.Buy[0].Amount, 1)
		}
		at["buy"] = at["coupon_code"]
	case coupon.Cents, coupon.BasketCents:
		o.Spend, at["spend"] = &need, at["coupon_code"]
	}
}

// CodeRemarks says where the data of o's coupon symbol differs from what the
// plan says of it, a sentence each; nil where it agrees or says nothing.
func (o *Offer) CodeRemarks() (remarks []string) {
	if o.CouponCode == "" {
		return nil
	}
	c, err := coupon.Parse(o.CouponCode)
	if err != nil {
		return []string{fmt.Sprintf("the coupon code of “%s” is none of AI (8110) or (8112): %v; compare it with the paper", o.Title, err)}
	}
	remarks = o.remarks(&c, fmt.Sprintf("the symbol of “%s”", o.Title))
	if o.Remembered {
		remarks = append(remarks, fmt.Sprintf("what “%s” gives is taken from its symbol by codes whose meaning is from memory, so nothing is firm about it; write into the plan what the paper says", o.Title))
	}
	return remarks
}

// remarks says where a symbol differs from what the plan says of o.
func (o *Offer) remarks(c *coupon.Symbol, whose string) (remarks []string) {
	hedge := ""
	if c.Remembered() {
		hedge = " (some of its codes are known from memory only)"
	}
	say := func(format string, args ...any) {
		remarks = append(remarks, whose+" "+fmt.Sprintf(format, args...)+"; compare the plan with the paper"+hedge)
	}
	if w, ok := c.Worth(); ok && o.Deduct != nil && !sameWorth(w, o.Deduct) && !slices.ContainsFunc(o.SeenValues, func(d Deduct) bool { return sameWorth(w, &d) }) {
		say("says %s, and the plan says %s", worthWords(w), deductWords(o.Deduct))
	}
	if first := c.Buy; len(first) == 1 && first[0].Code == coupon.Units && o.Spend == nil && c.SaveCode != coupon.FreeItem && c.SaveCode != coupon.FreeItems && first[0].Amount != o.Buy {
		say("asks for %d units, and the plan for %d", first[0].Amount, o.Buy)
	}
	if c.Expires != "" && o.Valid.Through.String() != c.Expires {
		say("says that it expires on %s, and the plan has %s", c.Expires, orNone(o.Valid.Through))
	}
	if c.Starts != "" && o.Valid.From.String() != c.Starts {
		say("says that it starts on %s, and the plan has %s", c.Starts, orNone(o.Valid.From))
	}
	return remarks
}

// Funder is the number of who pays for o, as its coupon's symbol has it, "" where none
// does.
func (o *Offer) Funder() string {
	if c, err := coupon.Parse(o.CouponCode); err == nil {
		return c.Funder
	}
	return ""
}

// IsCouponSymbol reports whether digits are the data of a coupon's symbol.
func IsCouponSymbol(digits string) bool {
	_, err := coupon.Parse(digits)
	return err == nil
}

// PrintedRemarks says where a coupon's symbol that a till prints, whose, differs from
// what the plan says of o, or from off, what was taken off for it.
func (o *Offer) PrintedRemarks(code, whose string, off money.Amount) []string {
	c, err := coupon.Parse(code)
	if err != nil {
		return nil
	}
	var remarks []string
	if own, err := coupon.Parse(o.CouponCode); err != nil || own.Funder != c.Funder || own.Offer != c.Offer {
		remarks = o.remarks(&c, whose)
	}
	if w, ok := c.Worth(); ok && w.Amount != nil && *w.Amount != off && o.Deduct != nil && o.Deduct.Amount != nil && *o.Deduct.Amount == *w.Amount && o.Spend == nil {
		remarks = append(remarks, fmt.Sprintf("%s says %s, and the line takes %s", whose, worthWords(w), off))
	}
	return remarks
}

// SymbolWords says what the data of a coupon's symbol says, "" where that is none.
func SymbolWords(code string) string {
	c, err := coupon.Parse(code)
	if err != nil {
		return ""
	}
	words := "what it gives is not in it"
	if w, ok := c.Worth(); ok {
		words = worthWords(w)
	}
	if len(c.Buy) == 1 && c.Buy[0].Code == coupon.Units {
		words += fmt.Sprintf(", for %d of family %s", c.Buy[0].Amount, c.Buy[0].Family)
	}
	if c.Expires != "" {
		words += ", through " + c.Expires
	}
	if c.Remembered() {
		words += " (some of its codes are known from memory only)"
	}
	return words
}

func orNone(d Date) string {
	if d.IsZero() {
		return "no such date"
	}
	return d.String()
}

func deductWords(d *Deduct) string {
	switch {
	case d.Amount != nil:
		return d.Amount.String() + " off"
	case d.Percent != nil:
		return d.Percent.String() + " off"
	case d.To != nil:
		return "down to " + d.To.String()
	}
	return "free"
}

// sameWorth reports whether d is what a symbol says.
func sameWorth(w coupon.Worth, d *Deduct) bool {
	switch {
	case w.Amount != nil:
		return d.Amount != nil && *d.Amount == *w.Amount
	case w.Percent > 0:
		return d.Percent != nil && d.Percent.String() == fmt.Sprintf("%d%%", w.Percent)
	}
	return d.Free
}

func worthWords(w coupon.Worth) string {
	switch {
	case w.Amount != nil && w.Basket:
		return w.Amount.String() + " off the transaction"
	case w.Amount != nil:
		return w.Amount.String() + " off"
	case w.Percent > 0:
		return fmt.Sprintf("%d%% off", w.Percent)
	}
	return fmt.Sprintf("%d free", w.Free)
}
