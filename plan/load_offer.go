package plan

import (
	"strings"

	"go.yaml.in/yaml/v4"
)

var measures = []Measure{MeasureShelf, MeasureSale, MeasureAfterShelfOffers, MeasureAfterStoreOffers, MeasureNet}

// couponCode parses the data of a GS1 coupon symbol; what it means is decoded elsewhere.
func couponCode(s string) (string, error) {
	plain := strings.NewReplacer("(", "", ")", "", " ", "").Replace(s)
	if !digits(plain) || len(plain) > 90 {
		return "", wrong{quote(s) + " is no coupon code", "write the digits of the symbol, with or without (8110) in front"}
	}
	return s, nil
}

// offerNodes are the fields of an offer that say something only together with others.
type offerNodes map[string]*yaml.Node

func (l *loader) readOffer(n *yaml.Node) {
	if l.full(n, len(l.plan.Offers), maxOffers, "offers") {
		return
	}
	o := &Offer{Index: len(l.plan.Offers), FundedBy: "store", CarriedAs: "shelf", Pos: l.pos(n)}
	l.plan.Offers = append(l.plan.Offers, o)
	at := offerNodes{}
	noted := func(f field) field {
		return field{f.key, func(n *yaml.Node) { at[f.key] = n; f.read(n) }}
	}
	r := l.reader
	if !l.object(n, "an offer", []string{"id", "title", "applies_to"},
		field{"id", func(n *yaml.Node) { l.readOfferID(n, o) }},
		into(r, "title", &o.Title, parseName),
		field{"applies_to", func(n *yaml.Node) { l.readAppliesTo(n, o) }},
		into(r, "funded_by", &o.FundedBy, oneOf("store", "maker")),
		into(r, "carried_as", &o.CarriedAs, oneOf("shelf", "paper", "print", "app", "loyalty")),
		noted(into(r, "buy", &o.Buy, whole(1, maxQuantity))),
		noted(intoNew(r, "spend", &o.Spend, positive)),
		noted(into(r, "measure", &o.Measure, oneOf(measures...))),
		noted(intoNew(r, "deduct", &o.Deduct, deduct)),
		noted(field{"credit", func(n *yaml.Node) { o.Credit = l.readCredit(n) }}),
		noted(field{"rebate", func(n *yaml.Node) { o.Rebate = l.readRebate(n) }}),
		noted(into(r, "reduces", &o.Reduces, reduces)),
		intoNew(r, "held", &o.Held, whole(0, maxQuantity)),
		field{"limit", func(n *yaml.Node) { l.readLimit(n, &o.Limit) }},
		field{"valid", func(n *yaml.Node) { o.Valid = l.readSpan(n, "valid") }},
		noted(field{"accumulates", func(n *yaml.Node) { s := l.readSpan(n, "accumulates"); o.Accumulates = &s }}),
		noted(into(r, "repeats", &o.Repeats, yesNo)),
		noted(field{"void_if_paid_with", func(n *yaml.Node) { l.readVoid(n, o) }}),
		noted(intoList(r, "seen_values", &o.SeenValues, deduct)),
		noted(into(r, "coupon_code", &o.CouponCode, couponCode)),
		into(r, "terms", &o.Terms, parseTerms),
		into(r, "proof", &o.Proof, parseName),
		into(r, "seen_on", &o.SeenOn, date),
		into(r, "claim_to", &o.ClaimTo, parseName),
	) {
		return
	}
	l.fillFromCode(o, at)
	l.checkOffer(n, o, at)
	if at["repeats"] == nil {
		o.Repeats = at["spend"] == nil
	}
	if at["spend"] == nil && o.Buy == 0 {
		o.Buy = 1
	}
}

// reduces parses which units of a use are reduced: 0 stands for all.
func reduces(s string) (int, error) {
	switch s {
	case "all":
		return 0, nil
	case "cheapest":
		return 1, nil
	}
	n, err := whole(1, maxQuantity)(s)
	if err != nil {
		err = wrong{"it cannot be " + quote(s), "write all, cheapest, or how many of the cheapest"}
	}
	return n, err
}

func (l *loader) readOfferID(n *yaml.Node, o *Offer) {
	o.ID, _ = read(l.reader, n, "id", parseID)
	for _, other := range l.plan.Offers[:o.Index] {
		if o.ID != "" && other.ID == o.ID {
			l.fault(n, "give each its own id", "there are two offers %s, the first in line %d", quote(o.ID), other.Pos.Line)
			return
		}
	}
}

func (l *loader) readAppliesTo(n *yaml.Node, o *Offer) {
	ok := l.list(n, "applies_to", func(n *yaml.Node) {
		if id, ok := read(l.reader, n, "an entry of applies_to", parseID); ok {
			o.AppliesTo = append(o.AppliesTo, id)
			l.refer(n, refItem, id, nil)
		}
	})
	if ok && len(l.target(n).Content) == 0 {
		l.fault(n, "name the items or tags it is for", "applies_to is an empty list")
	}
}

// creditValue is the value of a credit: money, or a percentage of what is measured.
func creditValue(s string) (Deduct, error) {
	if strings.HasSuffix(s, "%") {
		r, err := percent(s)
		return Deduct{Percent: &r}, err
	}
	a, err := positive(s)
	return Deduct{Amount: &a}, err
}

func (l *loader) readCredit(n *yaml.Node) *Credit {
	c := &Credit{Shows: "receipt"}
	var value Deduct
	var points *yaml.Node
	l.object(n, "a credit", []string{"kind", "value"},
		into(l.reader, "kind", &c.Kind, oneOf(creditKinds...)),
		into(l.reader, "value", &value, creditValue),
		field{"points", func(n *yaml.Node) {
			points = n
			c.Points, _ = read(l.reader, n, "points", whole(1, 10_000_000))
		}},
		into(l.reader, "expires_after", &c.ExpiresAfter, days),
		into(l.reader, "shows", &c.Shows, oneOf("receipt", "slip", "account")),
	)
	if value.Amount != nil {
		c.Value = *value.Amount
	}
	c.Percent = value.Percent
	if points != nil && c.Kind != "" && c.Kind != "points" {
		l.fault(points, "leave it out, or write kind: points", "points: a %s has none", c.Kind)
	}
	return c
}

// rebateValue is the value of a rebate: money, or "paid" for all that was paid.
func rebateValue(s string) (Rebate, error) {
	if s == "paid" {
		return Rebate{Paid: true}, nil
	}
	a, err := positive(s)
	if err != nil && !strings.ContainsAny(s, "0123456789") {
		err = wrong{"it cannot be " + quote(s), "write an amount like 0.50, or paid for what was paid"}
	}
	return Rebate{Value: a}, err
}

func (l *loader) readRebate(n *yaml.Node) *Rebate {
	var v, b Rebate
	var by, within *yaml.Node
	l.object(n, "a rebate", []string{"value"},
		into(l.reader, "value", &v, rebateValue),
		intoNew(l.reader, "at_most", &b.AtMost, positive),
		field{"submit_by", func(n *yaml.Node) { by = n; b.SubmitBy, _ = read(l.reader, n, "submit_by", date) }},
		field{"submit_within", func(n *yaml.Node) { within = n; b.SubmitWithin, _ = read(l.reader, n, "submit_within", days) }},
	)
	b.Value, b.Paid = v.Value, v.Paid
	if by != nil && within != nil {
		l.fault(within, "keep the one that the offer states", "a rebate has submit_by or submit_within, not both")
	}
	return &b
}

func (l *loader) readLimit(n *yaml.Node, to *Limit) {
	count := whole(1, 100_000)
	l.object(n, "limit", nil,
		into(l.reader, "per_transaction", &to.PerTransaction, count),
		into(l.reader, "transactions_per_day", &to.TransactionsPerDay, count),
		into(l.reader, "total", &to.Total, count),
	)
}

func (l *loader) readSpan(n *yaml.Node, what string) Span {
	var s Span
	l.object(n, what, nil,
		into(l.reader, "from", &s.From, date),
		into(l.reader, "through", &s.Through, date),
	)
	if !s.From.IsZero() && !s.Through.IsZero() && s.Through.Before(s.From) {
		l.fault(n, "check both dates; from comes first", "%s: from %s is after through %s", what, s.From, s.Through)
	}
	return s
}

func (l *loader) readVoid(n *yaml.Node, o *Offer) {
	l.list(n, "void_if_paid_with", func(n *yaml.Node) {
		pay := Payment{Pos: l.pos(n)}
		if l.target(n).Kind != yaml.MappingNode {
			if kind, ok := read(l.reader, n, "void_if_paid_with", oneOf(tenders...)); ok {
				pay.Kind = kind
				o.VoidIfPaidWith = append(o.VoidIfPaidWith, pay)
			}
			return
		}
		l.object(n, "void_if_paid_with", []string{"credit"}, field{"credit", func(n *yaml.Node) {
			o.VoidIfPaidWith = append(o.VoidIfPaidWith, pay)
			at := len(o.VoidIfPaidWith) - 1
			l.referCredit(n, func(c *Offer) { o.VoidIfPaidWith[at].Credit, o.VoidIfPaidWith[at].Kind = c, c.Credit.Kind })
		}})
	})
}
