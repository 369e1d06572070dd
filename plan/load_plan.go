package plan

import (
	"regexp"

	"go.yaml.in/yaml/v4"
)

var tenders = []string{"card", "cash", "gift card", "points", "store credit"}
var creditKinds = []string{"gift card", "points", "store credit"}

var currencyCode = regexp.MustCompile(`^[A-Z]{3}$`)

func currency(s string) (string, error) {
	if !currencyCode.MatchString(s) {
		return "", wrong{quote(s) + " is no currency", "write its three capital letters, like USD"}
	}
	return s, nil
}

// version parses the plan file's version, of which there is one.
func version(s string) (int, error) {
	if s != "1" {
		return 0, wrong{"it is " + quote(s) + "; version 1 is the one that is read", "write plan: 1"}
	}
	return 1, nil
}

func (l *loader) readPlan(n *yaml.Node) {
	p, v := l.plan, 0
	var tax *yaml.Node
	l.object(n, "a plan", []string{"plan", "transactions"},
		into(l.reader, "plan", &v, version),
		field{"store", l.readStore},
		into(l.reader, "date", &p.Date, date),
		into(l.reader, "currency", &p.Currency, currency),
		field{"tax", func(n *yaml.Node) { tax = n }},
		field{"transactions", l.readTransactions},
		field{"offers", func(n *yaml.Node) {
			if !empty(n) {
				l.list(n, "offers", l.readOffer)
			}
		}},
		field{"claimed", func(n *yaml.Node) { p.Claimed = l.readClaimed(n) }},
	)
	if tax != nil { // the plan's own wins over the store file's, which was read with store
		p.Taxes, l.storeTaxes = nil, false
		l.readTaxes(l.reader, tax, true)
	}
}

// readTaxes reads tax: one entry or a list of them. Words in items are looked
// up later where strict.
func (l *loader) readTaxes(r *reader, n *yaml.Node, strict bool) {
	n = r.target(n)
	one := func(n *yaml.Node) {
		var t Tax
		basis, coupons := "", ""
		r.object(n, "tax", []string{"rate"},
			into(r, "rate", &t.Rate, taxRate),
			field{"items", func(n *yaml.Node) {
				t.Items = []string{}
				r.list(n, "items", func(n *yaml.Node) {
					if id, ok := read(r, n, "an entry of items", parseID); ok {
						t.Items = append(t.Items, id)
						if strict {
							l.refer(n, refItem, id, nil)
						}
					}
				})
			}},
			into(r, "maker_coupons", &coupons, oneOf("taxed", "untaxed")),
			into(r, "basis", &basis, oneOf("transaction", "item")),
		)
		t.MakerUntaxed, t.ByItem = coupons == "untaxed", basis == "item"
		l.plan.Taxes = append(l.plan.Taxes, t)
	}
	if n.Kind == yaml.SequenceNode {
		r.list(n, "tax", one)
		return
	}
	one(n)
}

func (l *loader) readTransactions(n *yaml.Node) {
	p := l.plan
	if l.list(n, "transactions", l.readTransaction) && len(p.Transactions) == 0 {
		l.fault(n, "add a transaction with the items to buy", "the plan has no transaction")
	}
}

func (l *loader) readTransaction(n *yaml.Node) {
	if l.full(n, len(l.plan.Transactions), maxTransactions, "transactions") {
		return
	}
	tx := &Transaction{Index: len(l.plan.Transactions), Pos: l.pos(n)}
	l.plan.Transactions = append(l.plan.Transactions, tx)
	var items *yaml.Node
	ok := l.object(n, "a transaction", []string{"id", "items"},
		field{"id", func(n *yaml.Node) {
			tx.ID, _ = read(l.reader, n, "id", parseID)
			for _, other := range l.plan.Transactions[:tx.Index] {
				if tx.ID != "" && other.ID == tx.ID {
					l.fault(n, "give each its own id", "there are two transactions %s, the first in line %d", quote(tx.ID), other.Pos.Line)
				}
			}
		}},
		into(l.reader, "date", &tx.Date, date),
		field{"pay_with", func(n *yaml.Node) { l.readPayWith(n, tx) }},
		field{"items", func(n *yaml.Node) {
			items = n
			l.list(n, "items", func(n *yaml.Node) { tx.Items = append(tx.Items, l.readItem(n, len(tx.Items), tx)) })
		}},
		field{"candidates", func(n *yaml.Node) {
			l.list(n, "candidates", func(n *yaml.Node) {
				tx.Candidates = append(tx.Candidates, l.readItem(n, len(tx.Candidates), tx))
			})
		}},
		field{"claimed", func(n *yaml.Node) { tx.Claimed = l.readClaimed(n) }},
	)
	if ok && items != nil && len(tx.Items) == 0 && l.target(items).Kind == yaml.SequenceNode {
		l.fault(items, "add the items to buy, or leave out the transaction", "the transaction has no item")
	}
	if tx.PayWith == nil {
		tx.PayWith = []Payment{{Kind: "card", Pos: tx.Pos}}
	}
	l.uniqueItems(tx)
}

// uniqueItems checks that no two items of a transaction, candidates
// included, have the same id.
func (l *loader) uniqueItems(tx *Transaction) {
	first := map[string]*Item{}
	for _, list := range [][]*Item{tx.Items, tx.Candidates} {
		for _, it := range list {
			if l.unitCount += it.Quantity; l.unitCount > maxUnits && l.unitCount-it.Quantity <= maxUnits {
				l.faultAt(it.Pos, "make several plans of it", "the plan has more than %d units", maxUnits)
			}
			if it.ID == "" {
				continue
			}
			if other := first[it.ID]; other != nil {
				l.faultAt(it.Pos, "give each its own id, or make one item with their quantities", "the transaction has two items %s, the first in line %d", quote(it.ID), other.Pos.Line)
				continue
			}
			first[it.ID] = it
		}
	}
	was := l.itemCount
	l.itemCount += len(tx.Items) + len(tx.Candidates)
	if was <= maxItems && l.itemCount > maxItems {
		l.faultAt(tx.Pos, "make several plans of it", "the plan has more than %d items", maxItems)
	}
}

func (l *loader) readPayWith(n *yaml.Node, tx *Transaction) {
	tx.PayWith = []Payment{}
	ok := l.list(n, "pay_with", func(n *yaml.Node) {
		pay := Payment{Pos: l.pos(n)}
		if l.target(n).Kind != yaml.MappingNode {
			if kind, ok := read(l.reader, n, "pay_with", oneOf(tenders...)); ok {
				pay.Kind = kind
				tx.PayWith = append(tx.PayWith, pay)
			}
			return
		}
		var offer *yaml.Node
		l.object(n, "a payment", []string{"amount"},
			field{"credit", func(n *yaml.Node) { offer = n }},
			field{"held", func(n *yaml.Node) {
				pay.Kind, _ = read(l.reader, n, "held", oneOf(creditKinds...))
				pay.Held = true
			}},
			into(l.reader, "amount", &pay.Amount, positive),
		)
		switch {
		case offer != nil && pay.Held:
			l.fault(n, "make two entries of it", "a payment is either a credit of this plan or a held one")
		case offer == nil && !pay.Held:
			l.fault(n, "add credit: OFFER, or held: store credit", "a payment says only how much, not with what")
		}
		tx.PayWith = append(tx.PayWith, pay)
		if offer != nil {
			at := len(tx.PayWith) - 1
			l.referCredit(offer, func(o *Offer) { tx.PayWith[at].Credit, tx.PayWith[at].Kind = o, o.Credit.Kind })
		}
	})
	if ok && len(l.target(n).Content) == 0 {
		l.fault(n, "leave it out for [card]", "pay_with is an empty list")
	}
}

func (l *loader) readClaimed(n *yaml.Node) *Claimed {
	c := &Claimed{Pos: l.pos(n)}
	l.object(n, "claimed", nil,
		intoNew(l.reader, "out_of_pocket", &c.OutOfPocket, amount),
		intoNew(l.reader, "final_cost", &c.FinalCost, anyAmount),
		intoNew(l.reader, "per_unit", &c.PerUnit, anyAmount),
	)
	return c
}

// full reports whether the plan has as many of what as are taken, and says so
// of the first that is too many.
func (l *loader) full(n *yaml.Node, have, most int, what string) bool {
	if have < most {
		return false
	}
	if !l.cut {
		l.fault(n, "make several plans of it", "the plan has more than %d %s", most, what)
	}
	l.cut = true
	return true
}
