package parse

import "testing"

func TestDates(t *testing.T) {
	for _, c := range []struct{ text, date, other string }{
		{"05/09/2026", "2026-05-09", "2026-09-05"},
		{"5/9/26", "2026-05-09", "2026-09-05"},
		{"05/13/2026", "2026-05-13", ""},
		{"13/05/2026", "2026-05-13", ""},
		{"05/05/2026", "2026-05-05", ""},
		{"Tue 05-12-2026", "2026-05-12", ""},
		{"Saturday 05/12/2026", "2026-12-05", ""},
		{"Sat 11-07-2026", "2026-11-07", "2026-07-11"}, // both are Saturdays
		{"Fri 05/12/2026", "2026-05-12", "2026-12-05"}, // neither is a Friday
		{"2026-05-09", "2026-05-09", ""},
		{"2026/05/09 14:11:20", "2026-05-09", ""},
		{"09.05.2026", "2026-05-09", "2026-09-05"},
		{"05-09-26", "2026-05-09", "2026-09-05"},
		{"May 9, 2026", "2026-05-09", ""},
		{"MAY 09,2026", "2026-05-09", ""},
		{"9 May 2026", "2026-05-09", ""},
		{"09-MAY-26", "2026-05-09", ""},
		{"Sat Sept 5, 2026", "2026-09-05", ""},
		{"Feb23'19 10:23AM", "2019-02-23", ""},
		{"04 MAR.19", "2019-03-04", ""},
		{"DATE:05/13/2026 TIME:10:41", "2026-05-13", ""},
		{"29/02/2025", "", ""},
		{"29/02/2024", "2024-02-29", ""},
		{"99/99/2026", "", ""},
		{"TEL 555-01-2345", "", ""},
		{"1-800-555-0123", "", ""},
	} {
		r := parseText("HARBOR LANE\n" + c.text + "\nOATS 1.00\nTOTAL 1.00\nCARD 1.00")
		if r.Date != c.date || r.DateOther != c.other {
			t.Errorf("%q: %q or %q, want %q or %q", c.text, r.Date, r.DateOther, c.date, c.other)
		}
	}
}

func TestWhichDate(t *testing.T) {
	for _, c := range []struct{ why, text, want string }{
		{"the date with the time, not the one that something expires on", "VALID THROUGH 06/30/2026\n05/13/2026 10:41", "2026-05-13"},
		{"another date on the paper says that the day stands first", "05/09/2026\nMEMBER SINCE 25/12/2019", "2026-09-05"},
		{"the day of the sale, not of the reward", "05/13/2026\nYOU EARNED 3000 POINTS UNTIL 07/31/2026", "2026-05-13"},
	} {
		if r := parseText("HARBOR LANE\n" + c.text); r.Date != c.want {
			t.Errorf("%s: %q, want %s", c.why, r.Date, c.want)
		}
	}
}

func TestHead(t *testing.T) {
	for _, c := range []struct{ text, store, register, transaction, time string }{
		{"*** HARBOR LANE MARKET ***\n05/13/2026 10:41 AM REG 3 TRANS 8841", "HARBOR LANE MARKET", "3", "8841", "10:41"},
		{"WELCOME TO HARBOR LANE MARKET\nTRN#: 0042-17  TILL: 04  12:05:59 PM", "HARBOR LANE MARKET", "04", "0042-17", "12:05:59"},
		{"CUSTOMER COPY\nHarbor Lane\nReceipt No. A1234 12:30 AM", "Harbor Lane", "", "A1234", "00:30"},
		{"12345\n-----\nHarbor Lane\nORDER 7  TRANSACTION 99  7:05P", "Harbor Lane", "", "99", "19:05"},
	} {
		r := parseText(c.text + "\nOATS 1.00\nTOTAL 1.00\nCARD 1.00")
		if r.Store != c.store || r.Register != c.register || r.Transaction != c.transaction || r.Time != c.time {
			t.Errorf("%q: store %q, register %q, transaction %q, time %q", c.text, r.Store, r.Register, r.Transaction, r.Time)
		}
	}
}
