package law

import (
	"strings"
	"testing"

	"tillproof/money"
)

// The sums are those published or worked out from the published rule: pay is
// what all units cost in the end, due what comes back.
func TestDue(t *testing.T) {
	for _, c := range []struct {
		where, day, shown, charged string
		n                          int
		due, pay                   string
		source                     string
	}{
		// Michigan, MCL 445.319: the difference and ten times it, 1.00 to 5.00.
		{"US-MI", "2026-05-09", "3.99", "4.04", 1, "1.05", "", "worked out from the rule"},
		{"US-MI", "2026-05-09", "2.99", "3.29", 1, "3.30", "", "worked out from the rule"},
		{"US-MI", "2026-05-09", "2.50", "2.75", 1, "2.75", "", "worked out from the rule"},
		{"US-MI", "2026-05-09", "9.99", "10.49", 1, "5.50", "", "worked out from the rule"},
		{"US-MI", "2026-05-09", "5.99", "6.99", 1, "6.00", "", "worked out from the rule, cap"},
		{"US-MI", "2026-05-09", "2.99", "3.29", 3, "3.90", "", "worked out from the rule: n d and the bonus once"},
		{"US-MI", "2026-05-09", "2.99", "3.99", 1, "6.00", "", "worked out: ten times 1.00, cap"},
		{"CA-ON", "2026-05-09", "10.00", "11.00", 1, "", "0.00", "worked out from the code"},
		{"CA-ON", "2026-05-09", "10.01", "11.00", 1, "", "0.01", "worked out from the code"},
		{"CA-ON", "2026-05-09", "24.99", "25.99", 3, "", "64.97", "worked out: 14.99 + 24.99 + 24.99"},
		// Québec, a consumer association's published examples with T = 10.
		{"CA-QC", "2024-05-09", "12.99", "14.99", 1, "", "2.99", "published"},
		{"CA-QC", "2024-05-09", "2.99", "3.99", 1, "", "0.00", "published"},
		{"CA-QC", "2024-05-09", "4.99", "12.99", 3, "", "9.98", "published: all at 4.99 but one free"},
		{"CA-QC", "2025-05-07", "12.99", "14.99", 1, "", "0.00", "worked out with T = 15"},
		{"CA-QC", "2026-05-09", "19.99", "21.99", 1, "", "4.99", "worked out with T = 15"},
		{"US-MA", "2026-05-09", "2.50", "4.50", 1, "", "0.00", "worked out: no gross error"},
		{"US-MA", "2026-05-09", "12.00", "14.00", 2, "", "14.00", "worked out: one at 2.00, the other at 12.00"},
		{"US-CT", "2026-05-09", "20.00", "30.00", 1, "", "0.00", "worked out: free at just 20.00"},
		// The numbers of a press example of 2012.
		{"US-CT", "2026-05-09", "25.00", "30.00", 1, "20.00", "", "published: a credit of 20.00"},
		{"US-CT", "2026-05-09", "3.00", "3.50", 1, "", "0.00", "free up to 20.00"},
	} {
		found := Find(c.where, c.day)
		if len(found) != 1 {
			t.Errorf("%s: %d rules", c.where, len(found))
			continue
		}
		shown, charged := money.Must(c.shown), money.Must(c.charged)
		d, ok := found[0].Due(shown, charged, c.n)
		if !ok {
			t.Errorf("%+v: nothing is due", c)
			continue
		}
		if c.due != "" && d.Total().String() != c.due {
			t.Errorf("%+v: due %s", c, d.Total())
		}
		if pay := charged.Mul(c.n).Sub(d.Total()); c.pay != "" && pay.String() != c.pay {
			t.Errorf("%+v: pays %s", c, pay)
		}
		if s := d.String(); !strings.Contains(s, "Check locally") || !strings.Contains(s, found[0].Source) || !strings.Contains(s, found[0].Dated) {
			t.Errorf("no source, date or caution: %s", s)
		}
	}
}

func TestNothingDue(t *testing.T) {
	for _, c := range []struct{ where, shown, charged, why string }{
		{"US-MA", "2.00", "4.50", "under half of what was charged: a gross error"},
		{"US-MI", "3.00", "3.00", "no difference"},
		{"US-MI", "3.00", "2.90", "an undercharge"},
	} {
		for _, r := range Find(c.where, "2026-05-09") {
			if d, ok := r.Due(money.Must(c.shown), money.Must(c.charged), 1); ok {
				t.Errorf("%s: %s is due, and %s", c.where, d.Total(), c.why)
			}
		}
	}
	for _, where := range []string{"", "US-TX", "GB-ENG", "CAN"} {
		if found := Find(where, ""); len(found) > 0 {
			t.Errorf("%q has rules", where)
		}
	}
}

// TestEntries: every rule names its source and its date and how far it was verified, and
// says one remedy; what the table of published rules has is there, and nothing else.
func TestEntries(t *testing.T) {
	want := map[string]struct {
		dated                string
		secondary, voluntary bool
		notice               int
	}{
		"MCL 445.319, Act 15 of 2011":                                     {"2011", false, false, 30},
		"Scanner Price Accuracy Code, endorsed by the Competition Bureau": {"2002", true, true, 0},
		"P-40.1, r. 2, s. 1":                                              {"until May 2025", false, false, 0},
		"P-40.1, r. 2, s. 1, as changed by Bill 72":                       {"7 May 2025", true, false, 0},
		"202 CMR 7.07":            {"undated copy", false, false, 0},
		"CGS 21a-79 and PA 12-15": {"2012", true, false, 0},
	}
	for i := range rules {
		r := &rules[i]
		w, ok := want[r.Source]
		if !ok || r.Dated != w.dated || r.Secondary != w.secondary || r.Voluntary != w.voluntary || r.NoticeDays != w.notice {
			t.Errorf("%+v, want %+v", r, w)
		}
		delete(want, r.Source)
		m := r.Remedy
		n := 0
		for _, set := range []bool{m.Bonus != nil, !m.FreeUpTo.IsZero(), !m.CreditUpTo.IsZero()} {
			if set {
				n++
			}
		}
		if n != 1 || r.Conditions == "" || len(r.Where) == 0 {
			t.Errorf("%s: %d remedies, conditions %q, in %v", r.Name, n, r.Conditions, r.Where)
		}
	}
	for source := range want {
		t.Errorf("%s is in no rule", source)
	}
}

// TestSentence: a voluntary code, a secondary copy and a credit are called that.
func TestSentence(t *testing.T) {
	for where, want := range map[string][]string{
		"US-MI": {"says that you are due 5.00 back, and 5.00 on top", "within 30 days"},
		"CA-ON": {"(voluntary: only shops that follow it) gives you 5.00 back, and 10.00 on top", "read in a secondary copy"},
		"US-CT": {"a credit of 20.00 (", "whether the difference comes back besides"},
		"US-MA": {"undated copy", "gross error"},
	} {
		d, ok := Find(where, "2026-05-09")[0].Due(money.Must("25.00"), money.Must("30.00"), 1)
		for _, w := range append(want, "Check locally") {
			if !ok || !strings.Contains(d.String(), w) {
				t.Errorf("%s: %q lacks %q", where, d.String(), w)
			}
		}
	}
}
