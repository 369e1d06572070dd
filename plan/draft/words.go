package draft

import (
	"fmt"
	"strconv"
	"strings"

	"tillproof/money"
	"tillproof/plan"
)

// spec is an offer as a typed list says it in words.
type spec struct {
	carried, maker, store string
	buy, gets             int
	spend                 money.Amount
	amount                money.Amount
	percent               string
	free, to, back        bool
	credit                string // its kind
	points                int
	worth                 money.Amount
	held                  int
	perReceipt, perDay    int
	inAll                 int
	from, through, by     plan.Date
	within, expires       int
	cheapest              bool
	// keyword: a word says that it is an offer at all.
	keyword bool
	seen    map[string]bool // words with a number that were said
	unknown []string
}

var numbers = map[string]int{"one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8, "nine": 9, "ten": 10}

// small words that say nothing an offer has a field for.
var filler = map[string]bool{"off": true, "each": true, "on": true, "when": true, "you": true, "the": true, "a": true, "an": true, "and": true, "get": true,
	"save": true, "earn": true, "coupon": true, "coupons": true, "offer": true, "price": true, "with": true, "if": true, "in": true, "of": true, "at": true, "more": true}

var carriers = map[string]string{"app": "app", "digital": "app", "loyalty": "loyalty", "paper": "paper", "print": "print", "printed": "print", "shelf": "shelf", "promotion": "shelf"}

// number reads "4", "4.29", "$4.29" as an amount.
func number(w string) (money.Amount, bool) {
	a, err := money.Parse(strings.TrimLeft(w, "$€£@"))
	return a, err == nil && a.Sign() >= 0
}

func whole(w string) (int, bool) {
	n, err := strconv.Atoi(w)
	return n, err == nil && n > 0 && n <= 9999
}

func day(w string) (plan.Date, bool) {
	d, err := plan.ParseDate(w)
	return d, err == nil
}

// offerWords are those that say that something is an offer.
var offerWords = map[string]bool{"off": true, "back": true, "rebate": true, "free": true, "half": true, "save": true, "get": true, "spend": true, "buy": true,
	"gift": true, "points": true, "coupon": true, "maker": true, "maker's": true, "manufacturer": true, "manufacturer's": true, "store": true, "store's": true}

// parseSpec reads an offer in words. ok is whether it is one and gives anything.
func parseSpec(text string) (s spec, ok bool) {
	words := strings.Fields(strings.ToLower(text))
	for len(words) > 0 {
		s.keyword = s.keyword || offerWords[words[0]] || carriers[words[0]] != "" || strings.HasSuffix(words[0], "%")
		n := s.take(words)
		if n == 0 {
			s.unknown = append(s.unknown, words[0])
			n = 1
		}
		words = words[n:]
	}
	s.without()
	return s, s.keyword && (!s.amount.IsZero() || s.percent != "" || s.free || s.points > 0)
}

// without counts what says nothing without something else as not understood.
func (s *spec) without() {
	lost := func(word string, lost bool) {
		if lost {
			s.unknown = append(s.unknown, word)
		}
	}
	lost("by", !s.by.IsZero() && !s.back)
	lost("within", s.within > 0 && !s.back)
	lost("expires", s.expires > 0 && s.credit == "")
	lost("worth", !s.worth.IsZero() && s.credit == "")
	lost("cheapest", s.cheapest && (s.back || s.credit != "" || s.gets > 0))
}

// take reads what the first words say, and returns how many they are; 0: nothing.
func (s *spec) take(w []string) int {
	next := func(i int) string {
		if i < len(w) {
			return w[i]
		}
		return ""
	}
	switch {
	case w[0] == "gift" && next(1) == "card", w[0] == "store" && next(1) == "credit":
		s.credit = w[0] + " " + w[1]
		return 2
	case w[0] == "points":
		s.credit = w[0]
	case strings.TrimSuffix(w[0], "'s") == "maker", w[0] == "manufacturer", w[0] == "manufacturer's":
		s.maker = w[0]
	case strings.TrimSuffix(w[0], "'s") == "store":
		s.store = w[0]
	case carriers[w[0]] != "" && (s.carried == "" || s.carried == carriers[w[0]]):
		s.carried = carriers[w[0]]
	case w[0] == "back", w[0] == "rebate":
		s.back = true
	case (w[0] == "free" || w[0] == "paid") && !s.valued():
		s.free = true
	case w[0] == "cheapest":
		s.cheapest = true
	case w[0] == "half" && !s.valued():
		s.percent = "50%"
	case numbers[w[0]] > 0 && s.held == 0 && !limitUnit(next(1), next(2)):
		s.held = numbers[w[0]]
	case filler[w[0]]:
	default:
		return s.takeValue(w, next)
	}
	return 1
}

// valued reports whether the value was said already: what is said twice is not
// understood.
func (s *spec) valued() bool { return s.free || s.percent != "" || !s.amount.IsZero() }

// takeValue reads words that come with a number or a date, each once.
func (s *spec) takeValue(w []string, next func(i int) string) int {
	if s.seen[w[0]] || w[0] == "to" && s.valued() {
		return 0
	}
	n := s.takeKey(w, next)
	if n > 1 {
		if s.seen == nil {
			s.seen = map[string]bool{}
		}
		s.seen[w[0]] = true
		return n
	}
	return s.takeNumber(w, next)
}

func (s *spec) takeKey(w []string, next func(i int) string) int {
	amount, isAmount := number(next(1))
	count, isCount := whole(next(1))
	date, isDate := day(next(1))
	switch w[0] {
	case "spend":
		s.spend = amount
		return used(2, isAmount && !amount.IsZero())
	case "buy":
		s.buy = count
		return used(2, isCount)
	case "worth":
		s.worth = amount
		return used(2, isAmount)
	case "to":
		s.to, s.amount = isAmount, amount
		return used(2, isAmount)
	case "held":
		s.held = count
		return used(2, isCount)
	case "limit", "max":
		s.perReceipt = count
		return used(2, isCount)
	case "until", "through":
		s.through = date
		return used(2, isDate)
	case "from":
		s.from = date
		return used(2, isDate)
	case "by":
		s.by = date
		return used(2, isDate)
	case "within":
		s.within = count
		return used(3, isCount && strings.HasPrefix(next(2), "day"))
	case "expires":
		if at := next(1); at == "in" || at == "after" {
			count, isCount = whole(next(2))
			s.expires = count
			return used(4, isCount && strings.HasPrefix(next(3), "day"))
		}
		s.expires = count
		return used(3, isCount && strings.HasPrefix(next(2), "day"))
	}
	return 0
}

func used(n int, ok bool) int {
	if ok {
		return n
	}
	return 0
}

// limitUnit reports whether the words say what a number is a limit of.
func limitUnit(a, b string) bool {
	return (a == "a" || a == "per") && (b == "receipt" || b == "transaction" || b == "trip" || b == "day") || a == "in" && (b == "all" || b == "total")
}

// takeNumber reads a number by what stands behind it.
func (s *spec) takeNumber(w []string, next func(i int) string) int {
	n, isCount := whole(strings.Trim(w[0], "x"))
	if numbers[w[0]] > 0 {
		n, isCount = numbers[w[0]], true
	}
	a, isAmount := number(w[0])
	_, rate := money.ParseRate(w[0])
	switch {
	case isCount && limitUnit(next(1), next(2)) && s.inAll+s.perDay+s.perReceipt == 0:
		switch {
		case next(1) == "in":
			s.inAll = n
		case next(2) == "day":
			s.perDay = n
		default:
			s.perReceipt = n
		}
		return 3
	case isCount && strings.Contains(w[0], "x") && s.held == 0:
		s.held = n
	case isCount && next(1) == "points" && s.points == 0:
		s.credit, s.points = "points", n
		return 2
	case isCount && s.buy > 0 && (next(1) == "free" || strings.HasSuffix(next(1), "%") || next(1) == "half"):
		s.gets = n
	case rate == nil && !s.valued():
		s.percent = w[0]
	case isAmount && !a.IsZero() && !s.valued():
		s.amount = a
	default:
		return 0
	}
	return 1
}

// fields are those of the offer, without id, title and what it applies to. what
// says its value in words, why is what keeps it from being an offer.
func (s *spec) fields() (f []field, what, why string) {
	add := func(key, format string, args ...any) { f = append(f, field{key, fmt.Sprintf(format, args...)}) }
	if s.maker != "" {
		add("funded_by", "maker")
	}
	carried := s.carried
	if carried == "" && !s.back && s.credit == "" && (s.maker != "" || s.store != "") {
		carried = "paper" // a store's or a maker's coupon, where nothing else is said
	}
	if carried != "" && carried != "shelf" {
		add("carried_as", "%s", carried)
	}
	buy := s.buy
	if s.gets > 0 {
		buy += s.gets
	}
	if buy > 0 {
		add("buy", "%d", buy)
	}
	if !s.spend.IsZero() {
		add("spend", "%s", price(s.spend))
	}
	value, what, why := s.value()
	if why != "" {
		return nil, "", why
	}
	f = append(f, value)
	switch {
	case s.gets > 0:
		add("reduces", "%d", s.gets)
	case s.cheapest:
		add("reduces", "cheapest")
	}
	if s.held > 0 {
		add("held", "%d", s.held)
	}
	f = append(f, s.bounds()...)
	if s.buy > 0 {
		what += fmt.Sprintf(" when you buy %d", s.buy)
	}
	if !s.spend.IsZero() {
		what += " when you spend " + price(s.spend)
	}
	return f, what, ""
}

// value is what the offer gives.
func (s *spec) value() (f field, what, why string) {
	amount := price(s.amount)
	if s.percent != "" {
		amount = s.percent
	}
	switch {
	case s.credit == "points" && s.points > 0 && s.worth.IsZero():
		return f, "", fmt.Sprintf("say what the points are worth: %d points worth 1.00", s.points)
	case s.credit != "":
		if !s.worth.IsZero() {
			amount = price(s.worth)
		}
		value := "kind: " + s.credit + ", value: " + amount
		if s.points > 0 {
			value += fmt.Sprintf(", points: %d", s.points)
		}
		if s.expires > 0 {
			value += fmt.Sprintf(", expires_after: %d days", s.expires)
		}
		return field{"credit", "{" + value + "}"}, amount + " " + s.credit, ""
	case s.back && s.percent != "":
		return f, "", "a rebate is an amount, or free for all that was paid"
	case s.back:
		value := amount
		if s.free {
			value, amount = "paid", "all that was paid"
		}
		if !s.by.IsZero() {
			value += ", submit_by: " + s.by.String()
		}
		if s.within > 0 {
			value += fmt.Sprintf(", submit_within: %d days", s.within)
		}
		return field{"rebate", "{value: " + value + "}"}, amount + " back", ""
	case s.free:
		if s.gets > 0 {
			return field{"deduct", "free"}, fmt.Sprintf("%d free", s.gets), ""
		}
		return field{"deduct", "free"}, "free", ""
	case s.to:
		return field{"deduct", "to " + amount}, "down to " + amount, ""
	}
	return field{"deduct", amount}, amount + " off", ""
}

// bounds are the limits and dates.
func (s *spec) bounds() (f []field) {
	var limits, valid []string
	for _, l := range []struct {
		key string
		n   int
	}{{"per_transaction", s.perReceipt}, {"transactions_per_day", s.perDay}, {"total", s.inAll}} {
		if l.n > 0 {
			limits = append(limits, fmt.Sprintf("%s: %d", l.key, l.n))
		}
	}
	if limits != nil {
		f = append(f, field{"limit", "{" + strings.Join(limits, ", ") + "}"})
	}
	if !s.from.IsZero() {
		valid = append(valid, "from: "+s.from.String())
	}
	if !s.through.IsZero() {
		valid = append(valid, "through: "+s.through.String())
	}
	if valid != nil {
		f = append(f, field{"valid", "{" + strings.Join(valid, ", ") + "}"})
	}
	return f
}

// suffix is the end of the offer's id.
func (s *spec) suffix() string {
	switch {
	case s.credit != "":
		return strings.Fields(s.credit)[len(strings.Fields(s.credit))-1]
	case s.back:
		return "back"
	case s.maker != "":
		return "maker"
	case s.carried != "":
		return s.carried
	case s.store != "":
		return "store"
	}
	return "offer"
}
