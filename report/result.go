package report

import (
	"fmt"
	"strings"

	"tillproof/audit"
	"tillproof/parse"
	"tillproof/plan"
)

// Caution is said wherever findings are shown: what a tool can know of a till
// ends at the receipt.
const Caution = "A finding says what the receipt shows, not who made a mistake. The store's written " +
	"policy and local law decide; ask politely, and take advice before you do more than ask."

// Result shows the outcome of a check: the verdict first, then each finding
// with its sum, cause, evidence and what to do, then what is still to claim.
func Result(p *plan.Plan, r *audit.Result) string {
	var pg page
	pg.text(0, verdictText(r))
	pg.text(0, receiptHead(r.Receipt))
	if r.Transaction != "" {
		paid := "planned " + r.OutOfPocket.Expected.String()
		if r.OutOfPocket.Actual != nil {
			paid += ", on the receipt " + r.OutOfPocket.Actual.String()
		}
		pg.text(0, "Transaction "+r.Transaction+": "+paid)
	}
	for _, why := range r.Undecided {
		pg.item(0, "?", why)
	}
	for i, f := range r.Findings {
		pg.blank()
		finding(&pg, p, r.Receipt, i+1, f)
	}
	if !r.Tolerated.IsZero() {
		pg.blank()
		what := "Rounding cents, no finding: "
		if r.Tolerated.Abs().Cents() > audit.MostRounding {
			what = "Explained by no finding: "
		}
		pg.text(0, what+r.Tolerated.Signed())
	}
	claims(&pg, p, r)
	for _, n := range r.Notes {
		pg.item(0, "-", n)
	}
	for _, w := range r.Receipt.Warnings {
		pg.item(0, "!", w)
	}
	if len(r.Findings) > 0 {
		pg.blank()
		pg.text(0, Caution)
	}
	return pg.String()
}

func verdictText(r *audit.Result) string {
	switch r.Verdict {
	case audit.Short:
		var parts []string
		if !r.ShortAtTill.IsZero() {
			parts = append(parts, r.ShortAtTill.String()+" at the till")
		}
		if !r.ShortCredit.IsZero() {
			parts = append(parts, r.ShortCredit.String()+" in credits")
		}
		return "SHORT: you are missing " + strings.Join(parts, " and ")
	case audit.Gained:
		return "GAINED: the till took less than planned, or gave more"
	case audit.TillRight:
		return "TILL RIGHT: it differs from the plan, and the till is right"
	case audit.AsPlanned:
		return "AS PLANNED"
	}
	return "UNDECIDED: the receipt does not settle it"
}

var kindText = map[audit.Kind]string{
	audit.MissingDeduction:   "not taken off",
	audit.ShortDeduction:     "less was taken off",
	audit.ExtraDeduction:     "more was taken off",
	audit.MisplacedDeduction: "taken off another item",
	audit.MissingCredit:      "did not trigger",
	audit.ShortCredit:        "is less than planned",
	audit.ExtraCredit:        "is more than planned",
	audit.Overcharge:         "costs more than planned",
	audit.Undercharge:        "costs less than planned",
	audit.MissingItem:        "is not on the receipt",
	audit.UnplannedItem:      "is on the receipt and not in the plan",
	audit.Quantity:           "another quantity was rung",
	audit.SumFinding:         "the receipt's own sums do not work out",
	audit.TaxFinding:         "the tax differs",
	audit.MissingRebate:      "the receipt does not meet the rebate",
	audit.CardDigits:         "more of a card number is printed than the law allows",
}

// Headline says in a line what a finding is about and what happened to it.
func Headline(p *plan.Plan, f audit.Finding) string {
	what := kindText[f.Kind]
	switch {
	case f.Offer != "":
		return title(p, f.Offer) + ": " + what
	case len(f.Items) > 0:
		return itemNames(p, f.Items) + ": " + what
	}
	return what
}

func finding(pg *page, p *plan.Plan, r *parse.Receipt, n int, f audit.Finding) {
	pg.row(0, itoa(n)+". "+Headline(p, f), f.Effect.Signed())
	pg.text(3, fmt.Sprintf("planned %s, on the receipt %s; %s, %s",
		f.Expected, f.Actual, f.Certainty, sideText[f.Side]))
	if f.Cause.Text != "" {
		pg.item(3, "why:", f.Cause.Text)
	}
	for _, c := range f.OtherCauses {
		pg.item(3, "or:", c.Text)
	}
	for i, l := range f.Lines {
		if i == 6 {
			pg.text(3, fmt.Sprintf("and %s", count(len(f.Lines)-i, "line", "lines")+" more"))
			break
		}
		pg.item(3, "see:", fmt.Sprintf("line %d, %s", l, strings.Join(strings.Fields(r.Line(l).Text), " ")))
	}
	if f.Do != "" {
		pg.item(3, "do:", f.Do)
	}
	for _, law := range f.Law {
		pg.item(3, "law:", law)
	}
}

var sideText = map[audit.Side]string{
	audit.SideTill:    "on the till's side",
	audit.SideShopper: "on the shopper's side",
	audit.SidePlan:    "on the plan's side",
	audit.SideOpen:    "whose side is open",
}

// claims shows the rebates still to claim, those not due, and what could not
// be checked.
func claims(pg *page, p *plan.Plan, r *audit.Result) {
	if len(r.Due)+len(r.NotDue)+len(r.NotChecked) > 0 {
		pg.blank()
	}
	for _, d := range r.Due {
		text := "Still to claim: " + title(p, d.Offer)
		if !d.SubmitBy.IsZero() {
			text += ", by " + d.SubmitBy.String()
		}
		pg.amount(0, text+" ("+lineList(d.Lines)+")", d.Value)
	}
	for _, n := range r.NotDue {
		pg.text(0, "Not to claim: "+title(p, n.Offer)+": "+n.Why)
	}
	for _, n := range r.NotChecked {
		what := n.What
		if n.Offer != "" {
			what = title(p, n.Offer)
		} else if n.Item != "" {
			what = itemNames(p, []string{n.Item})
		}
		pg.text(0, "Not checked: "+what+": "+n.Why)
	}
}

// itemNames gives the planned names of items, or their ids where the plan
// does not have them.
func itemNames(p *plan.Plan, ids []string) string {
	names := make([]string, len(ids))
	for i, id := range ids {
		names[i] = id
		for _, tx := range p.Transactions {
			for _, it := range tx.Items {
				if it.ID == id {
					names[i] = it.Name
				}
			}
		}
	}
	return strings.Join(names, ", ")
}
