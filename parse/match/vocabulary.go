package match

import (
	"slices"
	"strings"

	"tillproof/money"
	"tillproof/plan"
)

// vocabulary is what the words of a deduction line say of its kind.
type vocabulary struct {
	maker, store, app, loyalty, paper, sale, free bool
	// percents are the percentages named, as "40%".
	percents []money.Rate
	// values are the amounts named, as "0.35 OFF" or "5 OFF".
	values []money.Amount
	// rest are the words that say what it is for.
	rest name
	// savings: they are the till's own words for what a sale saves; other: it has
	// such, and they are not.
	savings, other bool
}

// said maps the words that tills print on deduction lines to what they say:
// the trade's own short forms, beside which a store file's `prints` are read.
var said = map[string]func(v *vocabulary){}

func init() {
	for words, says := range map[string]func(v *vocabulary){
		"MFR MFG MFGR MANUF MANUFACTURER MANUFACTURERS MAKER MAKERS VENDOR VNDR": func(v *vocabulary) { v.maker = true },
		"STORE STR SC SHOP HOUSE":        func(v *vocabulary) { v.store = true },
		"STORECPN STCPN SCPN":            func(v *vocabulary) { v.store, v.paper = true, true },
		"MC MFC MCPN VCPN MFRCPN MFGCPN": func(v *vocabulary) { v.maker = true },
		"APP DIGITAL DIG DGTL ECOUPON ECPN EOFFER MOBILE PHONE ONLINE CLIPPED": func(v *vocabulary) { v.app = true },
		"LOYALTY LYLTY MEMBER MBR CLUB LOADED MEMBERS":                         func(v *vocabulary) { v.loyalty = true },
		"COUPON COUPONS CPN CPNS COUP CP PAPER VOUCHER":                        func(v *vocabulary) { v.paper = true },
		"SALE SAVINGS SAVING SAVED SAVE SPECIAL SPECIALS RABAIS MARKDOWN MARKED DOWN REDUCED REDUCTION PROMO PROMOTION TPR CLEARANCE ADJ ADJUST ADJUSTMENT": func(v *vocabulary) { v.sale = true },
		"FREE BOGO": func(v *vocabulary) { v.free = true },
		"OFF OFFER DISC DISCOUNT DISCNT DEAL OFFERS LESS ON YOU AMT EA EACH BUY GET X SCANNED REDEEMED APPLIED TAKEN REG REGULAR WAS WEEKLY WEEK MULTI MULTIBUY MIX MATCH MTCH SAVER PRICE": func(*vocabulary) {},
	} {
		for _, w := range strings.Fields(words) {
			said[w] = says
		}
	}
}

// hear sorts the words of a deduction line. What the store's own words say goes
// before what tills usually mean by them. The first lead words are the till's own.
func hear(text string, n *name, lead int, prints map[string][]string) vocabulary {
	var v vocabulary
	own := 0 // the words of n that are the store's own, as a set
	for what, mark := range map[string]*bool{"coupon": &v.paper, "store offer": &v.store} {
		for _, text := range prints[what] {
			if p := newName(text); n.contains(&p) {
				*mark = true
				own |= n.places(&p)
			}
		}
	}
	for i := range n.words {
		w := &n.words[i]
		if own&(1<<i) != 0 {
			continue
		}
		if w.text == "E" && i+1 < len(n.words) && slices.Contains(electronic, n.words[i+1].text) {
			v.app = true // E-COUPON
			continue
		}
		if says := said[w.text]; says != nil && !n.goodsWord(i) {
			says(&v)
			continue
		}
		if slices.Contains(besideTrade, w.text) && i+1 < len(n.words) && said[n.words[i+1].text] != nil {
			continue
		}
		if w.number || i < lead || i > 0 && n.words[i-1].text == "PRICE" && slices.Contains(behindPrice, w.text) {
			continue
		}
		if v.rest.words == nil {
			v.rest.words = make([]word, 0, len(n.words)-i)
		}
		v.rest.words = append(v.rest.words, *w)
		v.rest.size += len(w.text)
	}
	if n.has("SPEND") {
		v.sale = false // SPEND & SAVE is an offer on the basket
	}
	if !slices.ContainsFunc(v.rest.words, func(w word) bool { return !slices.Contains(particles, w.text) }) {
		v.rest = name{}
	}
	if v.sale && n.contains(&toCard) {
		v.sale, v.loyalty = false, true // SAVED TO CARD is a coupon that was loaded
	}
	if !v.paper && !v.maker && !v.app && n.has("PRICE", "PRICES") {
		v.sale, v.loyalty = true, false // a price for members is the week's price
	}
	v.rest.starts, v.rest.clean = n.starts, n.clean
	v.percents = percentsIn(text)
	v.values = valuesIn(text)
	return v
}

// besideTrade are words that say nothing before a word of the trade, and else are
// goods' as well: INSTANT SAVINGS, and INSTANT COFFEE.
var besideTrade = []string{"INSTANT", "INST", "AUTO", "AUTOMATIC", "CARD", "AD", "TEMP", "HOT", "LOW", "FLYER", "LEAFLET", "MAILER", "CIRCULAR", "REGULAR", "SHELF", "TAG", "EVERYDAY", "PERSONAL", "YOUR", "MY", "OUR", "SMART", "TOTAL", "ORDER", "BASKET", "TRIP", "CART", "GROUP", "COMBO", "BUNDLE", "SET", "QUANTITY", "QTY", "MULTI", "SCAN", "CLIPPED", "ACTIVATED", "SPECIAL", "EXTRA", "BONUS", "MAIL", "LEAFLET", "NATIONAL", "BRAND", "SUPPLIER", "PRODUCER"}

// behindPrice are words that say nothing behind PRICE.
var behindPrice = []string{"BREAK", "CUT", "DROP", "DOWN", "CHANGE", "OVERRIDE", "ROLL", "LESS"}

// particles are words that name no goods by themselves: the IN of an IN-STORE DEAL.
var particles = []string{"IN", "ON", "OF", "FOR", "THE", "A", "AN", "AT", "TO", "AND", "YOUR", "MY", "OUR", "WITH", "BY", "FROM", "THIS", "ALL", "ONE", "MORE", "AS", "IS", "IF"}

var toCard = newName("TO CARD")

// electronic are the words that an E before them makes the app's.
var electronic = []string{"COUPON", "COUPONS", "CPN", "CPNS", "OFFER", "OFFERS", "DEAL", "DISCOUNT"}

// goodsWord reports whether word i, which may be one of the trade's, is part of a
// name of goods: APP behind a word of goods, as in SUN APP JUI, but not as in WITH THE APP.
func (n *name) goodsWord(i int) bool {
	return n.words[i].text == "APP" && i > 0 && !n.words[i-1].number && n.words[i-1].text != "THE" && said[n.words[i-1].text] == nil
}

// contains reports whether the words of p follow each other in n.
func (n *name) contains(p *name) bool {
	for i := 0; len(p.words) > 0 && i+len(p.words) <= len(n.words); i++ {
		if slices.EqualFunc(n.words[i:i+len(p.words)], p.words, func(a, b word) bool { return a.text == b.text }) {
			return true
		}
	}
	return false
}

// places is the set of the words of n that are words of p.
func (n *name) places(p *name) (set int) {
	for i := range n.words {
		if p.has(n.words[i].text) {
			set |= 1 << i
		}
	}
	return set
}

// percentsIn are the percentages written in a text.
func percentsIn(text string) (found []money.Rate) {
	for i := strings.IndexByte(text, '%'); i > 0; {
		j := i
		for j > 0 && (isDigit(text[j-1]) || text[j-1] == '.') {
			j--
		}
		if r, err := money.ParseRate(text[j : i+1]); err == nil && j < i {
			found = append(found, r)
		}
		next := strings.IndexByte(text[i+1:], '%')
		if next < 0 {
			break
		}
		i += 1 + next
	}
	return found
}

// fits says how well the kind that the words name suits offer o: above zero
// where they speak for it, below where they speak against it.
func (v *vocabulary) fits(o *plan.Offer) int {
	got := 0
	maker := o.FundedBy == "maker"
	switch {
	case v.maker && maker:
		got += 18
	case v.maker != maker && (v.maker || v.store):
		got -= 60
	case v.store && !maker:
		got += 10
	}
	app := o.CarriedAs == "app" || o.CarriedAs == "loyalty"
	switch {
	case v.app && o.CarriedAs == "app" || v.loyalty && o.CarriedAs == "loyalty":
		got += 15
	case v.app && !app:
		got -= 20
	case v.loyalty && !app:
		got -= 10
	case v.app:
		got += 4
	case v.loyalty: // an app is often the members'
		got += 9
	}
	if v.paper && !v.app {
		switch o.CarriedAs {
		case "paper", "print":
			got += 8
		case "shelf":
			got -= 8
		}
	}
	switch {
	case !v.sale:
	case o.CarriedAs == "shelf":
		got += 6
	case !v.maker && !v.store && !v.app && !v.loyalty && !v.paper:
		got -= 15
	}
	return got + v.percentFits(o) + v.valueFits(o)
}

// valueFits is the part of fits that a printed amount decides.
func (v *vocabulary) valueFits(o *plan.Offer) int {
	if o.Deduct == nil || len(v.values) == 0 {
		return 0
	}
	if v.nameAmount(o.Deduct) {
		return 25
	}
	for i := range o.SeenValues {
		if v.nameAmount(&o.SeenValues[i]) {
			return 15
		}
	}
	if o.Spend != nil && slices.Contains(v.values, *o.Spend) {
		return 10
	}
	return -15
}

// nameAmount reports whether one of the amounts named is the one that d takes off
// or leaves.
func (v *vocabulary) nameAmount(d *plan.Deduct) bool {
	return d.Amount != nil && slices.Contains(v.values, *d.Amount) || d.To != nil && slices.Contains(v.values, *d.To)
}

// percentFits is the part of fits that a printed percentage decides.
func (v *vocabulary) percentFits(o *plan.Offer) int {
	if o.Deduct == nil {
		return 0
	}
	if len(v.percents) == 0 {
		if v.free && o.Deduct.Free {
			return 15
		}
		return 0
	}
	planned := o.Deduct.Percent
	switch {
	case planned == nil:
		return -30
	case slices.Contains(v.percents, *planned):
		return 30
	}
	for _, d := range o.SeenValues {
		if d.Percent != nil && slices.Contains(v.percents, *d.Percent) {
			return 15
		}
	}
	if !v.rest.clean {
		return -15 // 10% in faint print is read as 6%
	}
	return -45
}

// valuesIn are the amounts written in a text, whole numbers only before OFF and
// behind the words for what is spent: "5.00 ON 75".
func valuesIn(text string) (found []money.Amount) {
	for i := 0; i < len(text); i++ {
		if !isDigit(text[i]) || i > 0 && (isDigit(text[i-1]) || text[i-1] == '.') {
			continue
		}
		j := i
		for j < len(text) && (isDigit(text[j]) || text[j] == '.') {
			j++
		}
		number := text[i:j]
		dot := strings.IndexByte(number, '.')
		if j < len(text) && text[j] == '%' || dot >= 0 && dot != len(number)-3 || dot < 0 && !strings.HasPrefix(strings.ToUpper(text[j:]), " OFF") && !spentBefore(text[:i]) {
			continue
		}
		if a, err := money.Parse(number); err == nil {
			found = append(found, a)
		}
	}
	return found
}

// spentBefore reports whether a text ends with a word for what is spent.
func spentBefore(text string) bool {
	up := strings.ToUpper(text)
	for _, w := range [...]string{" ON ", " OVER ", " SPEND "} {
		if strings.HasSuffix(up, w) {
			return true
		}
	}
	return false
}
