package plan

import (
	"go.yaml.in/yaml/v4"
)

// refKind is what a word in a plan refers to.
type refKind int

const (
	refItem   refKind = iota // the id of an item, or a tag
	refCredit                // the id of an offer that gives a credit
)

// ref is a word that names something elsewhere in the plan, looked up when
// everything has been read.
type ref struct {
	pos  Pos
	kind refKind
	word string
	set  func(o *Offer)
}

func (l *loader) refer(n *yaml.Node, kind refKind, word string, set func(o *Offer)) {
	l.refs = append(l.refs, ref{l.pos(l.target(n)), kind, word, set})
}

func (l *loader) referCredit(n *yaml.Node, set func(o *Offer)) {
	if id, ok := read(l.reader, n, "credit", parseID); ok {
		l.refer(n, refCredit, id, set)
	}
}

// resolve looks up what the plan's words refer to.
func (l *loader) resolve() {
	items := map[string]bool{}
	var words, ids []string
	know := func(word string) {
		if word != "" && !items[word] {
			items[word] = true
			words = append(words, word)
		}
	}
	for _, tx := range l.plan.Transactions {
		for _, list := range [][]*Item{tx.Items, tx.Candidates} {
			for _, it := range list {
				know(it.ID)
				for _, tag := range it.Tags {
					know(tag)
				}
			}
		}
	}
	offers := map[string]*Offer{}
	for _, o := range l.plan.Offers {
		if offers[o.ID] == nil {
			offers[o.ID] = o
			ids = append(ids, o.ID)
		}
	}
	for _, r := range l.refs {
		if len(l.faults) > maxFaults {
			return
		}
		switch o := offers[r.word]; {
		case r.kind == refItem && !items[r.word]:
			l.unknown(r, "item or tag", words)
		case r.kind == refCredit && o == nil:
			l.unknown(r, "offer", ids)
		case r.kind == refCredit && o.Credit == nil:
			l.faultAt(r.pos, "name an offer that has a credit", "the offer %s gives no credit", quote(r.word))
		case r.kind == refCredit:
			r.set(o)
		}
	}
}

func (l *loader) unknown(r ref, what string, known []string) {
	hint := "add it, or take the word out"
	if near := l.near(r.word, known); near != "" {
		hint = "did you mean " + near + "?"
	}
	l.faultAt(r.pos, hint, "there is no %s %s in the plan", what, quote(r.word))
}

// checkOffer checks what an offer's fields say together. at holds those given.
func (l *loader) checkOffer(n *yaml.Node, o *Offer, at offerNodes) {
	given := 0
	for _, key := range []string{"deduct", "credit", "rebate"} {
		if at[key] != nil {
			given++
		}
	}
	switch {
	case given == 0:
		l.fault(n, "add deduct, credit or rebate", "the offer %s gives nothing", quote(o.ID))
	case given > 1:
		l.fault(n, "make an offer of each", "the offer %s has more than one of deduct, credit and rebate", quote(o.ID))
	}
	only := func(key, with, why string) {
		if at[key] != nil && at[with] == nil {
			l.fault(at[key], "leave it out, or add "+with, "%s: %s", key, why)
		}
	}
	only("measure", "spend", "it says what spend adds up, and there is no spend")
	only("accumulates", "spend", "it is the spend that adds up, and there is no spend")
	only("reduces", "deduct", "it says which units deduct reduces, and there is no deduct")
	if at["buy"] != nil && at["spend"] != nil {
		l.fault(at["spend"], "keep one", "an offer has buy or spend, not both")
	}
	if at["deduct"] != nil {
		l.checkDeduct(o, at)
	}
	if c := o.Credit; c != nil && c.Percent != nil {
		if at["spend"] == nil {
			l.fault(at["credit"], "write an amount, or add spend", "a percentage is taken of what spend measures, and there is no spend")
		}
		l.notRepeated(o, at)
	}
}

func (l *loader) checkDeduct(o *Offer, at offerNodes) {
	for _, key := range []string{"accumulates", "void_if_paid_with"} {
		if at[key] != nil {
			l.fault(at[key], "leave it out", "%s: it is for credits and rebates, not for what comes off at the till", key)
		}
	}
	if at["spend"] == nil {
		if buy := max(o.Buy, 1); o.Reduces > buy {
			l.fault(at["reduces"], "write at most as many as buy says", "reduces %d of a use of %d", o.Reduces, buy)
		}
		return
	}
	if at["reduces"] != nil {
		l.fault(at["reduces"], "leave it out: with spend the basket is reduced", "reduces cannot be said with spend")
	}
	if d := o.Deduct; d != nil && (d.Free || d.To != nil) {
		l.fault(at["deduct"], "write an amount or a percentage", "free and to cannot be said with spend")
	}
	if d := o.Deduct; d != nil && d.Percent != nil {
		l.notRepeated(o, at)
	}
}

// notRepeated refuses a percentage with spend that is said to repeat: ten
// percent of everything spent cannot be had twice.
func (l *loader) notRepeated(o *Offer, at offerNodes) {
	if at["repeats"] != nil && o.Repeats && at["spend"] != nil {
		l.fault(at["repeats"], "leave it out", "a percentage of what is spent is not repeated")
	}
}
