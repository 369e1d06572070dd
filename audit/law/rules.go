package law

import "tillproof/money"

// rules are in no order. What was verified in a source, what in a secondary copy
// only, stands with each.
var rules = []Rule{
	{
		// MCL 445.319 (Act 15 of 2011), verified in the source.
		Where: []string{"US-MI"}, Name: "Michigan's Shopping Reform and Modernization Act",
		Source: "MCL 445.319, Act 15 of 2011", Dated: "2011", NoticeDays: 30,
		Remedy:     Remedy{Bonus: &Bonus{Times: 10, AtLeast: money.FromCents(100), AtMost: money.FromCents(500)}},
		Conditions: "the bonus is once for identical goods; the seller has 2 days to pay, and owes the actual damages or 250.00, whichever is more, and attorney fees up to 300.00 if it does not",
	},
	{
		// Scanner Price Accuracy Code (2002), verified on the Competition
		// Bureau's pages; how several items count, in a secondary copy.
		Where: []string{"CA"}, Except: []string{"CA-QC"}, Name: "Canada's Scanner Price Accuracy Code",
		Source: "Scanner Price Accuracy Code, endorsed by the Competition Bureau", Dated: "2002", Voluntary: true, Secondary: true,
		Remedy:     Remedy{FreeUpTo: money.FromCents(1000)},
		Conditions: "not for goods with a price ticket on them or behind a counter; further identical goods at the shown price",
	},
	{
		// Order respecting the accuracy of prices, P-40.1, r. 2, s. 1, verified
		// in the source with the threshold of 10.00.
		Where: []string{"CA-QC"}, Through: "2025-05-06", Name: "Québec's price accuracy policy",
		Source: "P-40.1, r. 2, s. 1", Dated: "until May 2025",
		Remedy:     Remedy{FreeUpTo: money.FromCents(1000)},
		Conditions: "for one of identical goods, and only in shops that have no price on each",
	},
	{
		// The threshold of 15.00 from 7 May 2025 (Bill 72): a secondary copy.
		Where: []string{"CA-QC"}, From: "2025-05-07", Name: "Québec's price accuracy policy",
		Source: "P-40.1, r. 2, s. 1, as changed by Bill 72", Dated: "7 May 2025", Secondary: true,
		Remedy:     Remedy{FreeUpTo: money.FromCents(1500)},
		Conditions: "for one of identical goods, and only in shops that have no price on each",
	},
	{
		// 202 CMR 7.07, verified in the source; the copy bears no date.
		Where: []string{"US-MA"}, Name: "Massachusetts' grocery pricing rule",
		Source: "202 CMR 7.07", Dated: "undated copy",
		Remedy:     Remedy{FreeUpTo: money.FromCents(1000), GrossError: true},
		Conditions: "for groceries, one unit; not where the low price was a gross error that the shop did not mean, the label was tampered with, or within 24 hours of the last time",
	},
	{
		// CGS 21a-79, verified in the source as to free goods; the credit above
		// 20.00 (PA 12-15) in a secondary copy. That it is for one unit is
		// from memory.
		Where: []string{"US-CT"}, Name: "Connecticut's universal product code law",
		Source: "CGS 21a-79 and PA 12-15", Dated: "2012", Secondary: true,
		Remedy:     Remedy{CreditUpTo: money.FromCents(2000)},
		Conditions: "for consumer commodities; ask whether it is for one unit or for each, and whether the difference comes back besides a credit",
	},
}
