package parse

import (
	"regexp"
	"strings"
)

// readHead finds store, date, time, register and transaction in the lines that
// are neither goods nor money.
func (p *parser) readHead() {
	p.readStore()
	p.readDate()
	register, transaction := 0, 0
	for i := range p.rows {
		w := &p.rows[i]
		if w.kind != LineOther && w.kind != LineMessage || !w.said.has(markRegister|markTransaction) || w.said.has(markTaxInfo) {
			continue
		}
		p.readNumbers(w, &register, &transaction)
	}
}

// notStore are marks of first lines that name no store.
const notStore = markTransaction | markTaxInfo | markDate | markSlip | markMessage | markTender | markRegister | markTotal | markRefund | markEarned | markReward

// readStore takes the first line that may be a name: letters, and not only
// words of greeting or about the paper itself.
func (p *parser) readStore() {
	for i := range p.rows {
		w := &p.rows[i]
		if w.kind != LineOther && w.kind != LineMessage {
			if w.kind == LineItem && !w.has {
				continue
			}
			return
		}
		name := strings.Trim(w.text, " *=-_~#|.:")
		if after, ok := cutWelcome(name); ok {
			name = after
		} else if w.said.has(notStore) && w.said.unknown == 0 || w.said.has(markMessage) {
			continue
		}
		if w.lists() {
			return // what the store sells: its name above was not read
		}
		if isAddress(name) {
			return // the name above it is a picture, or was not read
		}
		if kindsOfShop[strings.ToUpper(name)] {
			continue
		}
		if letters := countLetters(name); letters < 3 || letters*2 < len(name)-strings.Count(name, " ") {
			continue
		}
		p.r.Store = name
		return
	}
}

// kindsOfShop are what tills print below the name of a store, and nothing by themselves.
var kindsOfShop = map[string]bool{"SUPERCENTER": true, "SUPERCENTRE": true, "SUPERMARKET": true, "SUPER MARKET": true, "HYPERMARKET": true, "SUPERSTORE": true, "GROCERY": true, "GROCERIES": true, "FOOD STORE": true, "PHARMACY": true, "DRUGSTORE": true, "DRUG STORE": true, "WAREHOUSE": true, "MARKET": true, "FOOD MARKET": true, "FARMERS MARKET": true, "DISCOUNT STORE": true, "CONVENIENCE STORE": true, "GENERAL STORE": true, "VARIETY STORE": true, "DOLLAR STORE": true, "HARDWARE": true}

// formAddress is a house number and a street: "845 Alder Avenue", "88 N Mill Ln., Suite 4".
var formAddress = regexp.MustCompile(`(?i)^\d{1,5}[A-Z]? (?:[A-Z][\w'.-]* ){1,4}(?:street|st|avenue|ave|av|road|rd|lane|ln|row|way|drive|dr|boulevard|blvd|court|ct|place|pl|parkway|pkwy|highway|hwy|square|sq|terrace|crescent|close|alley|quay|plaza)\b[.,]?`)

// isAddress reports whether a line is a street's, and no store's name.
func isAddress(s string) bool { return formAddress.MatchString(s) }

// lists reports whether the line lists three things or more, divided by signs:
// "Health - Home - Pantry".
func (w *row) lists() bool {
	between := 0
	for i := 1; i+1 < len(w.lx); i++ {
		switch l := &w.lx[i]; {
		case l.kind == lexNumber:
			return false
		case l.kind == lexSign && len(l.text) <= 3 && !l.glued && !w.lx[i+1].glued && w.lx[i-1].kind == lexWord && w.lx[i+1].kind == lexWord:
			if l.isSign('-') || l.isSign('*') || l.isSign('|') || l.isSign('/') || l.isSign('+') {
				between++
			}
		}
	}
	return between >= 2
}

// cutWelcome cuts "Welcome to" off.
func cutWelcome(s string) (string, bool) {
	const welcome = "WELCOME TO "
	if len(s) > len(welcome) && strings.EqualFold(s[:len(welcome)], welcome) {
		return strings.Trim(s[len(welcome):], " *=-_~#|.:!"), true
	}
	return s, false
}

func countLetters(s string) int {
	n := 0
	for i := range len(s) {
		if c := s[i] | 0x20; c >= 'a' && c <= 'z' || s[i] >= 0xc3 {
			n++
		}
	}
	return n
}

// readDate takes the date of the sale: of all dates the one that stands with a
// time or the word DATE, and not one that something expires on.
func (p *parser) readDate() {
	var pieces []piece
	var best dayReading
	bestScore, timeScore, dayFirst := -1, -1, p.metric()
	for i := range p.rows {
		w := &p.rows[i]
		if w.unread || w.kind != LineOther && w.kind != LineMessage && w.kind != LineItem && w.kind != LineTender {
			continue
		}
		pieces = cutPieces(w.text, pieces[:0])
		d, ok := findDate(pieces)
		time := findTime(pieces)
		score := 0
		if w.said.has(markDate) {
			score += 2
		}
		if w.said.has(markExpires|markFuture|markCondition|markMessage|markEarned|markReward) && !w.said.has(markDate) {
			score -= 4
		}
		if ok && time != "" {
			score += 2
		}
		if ok && score+2 > bestScore {
			best, bestScore = d.onDay(pieces), score+2
		}
		dayFirst = dayFirst || ok && d.dayFirst
		if time != "" && score > timeScore {
			p.r.Time, timeScore = time, score
		}
	}
	if best.iso == "" {
		return
	}
	if dayFirst && best.other != "" {
		best.iso, best.other = best.byDay, ""
	}
	p.r.Date, p.r.DateOther = best.iso, best.other
}

// metric reports whether the receipt is of a country that writes the day
// first: its currency or its tax says so.
func (p *parser) metric() bool {
	for i := range p.rows {
		w := &p.rows[i]
		for k := range w.lx {
			if l := &w.lx[k]; l.kind == lexWord && (l.text == "RM" || l.text == "GST" || l.text == "Rp" || l.text == "VAT") || l.isSign('$') && l.text != "$" && l.text != "*" {
				return true
			}
		}
	}
	return false
}

// numberWords are the words before a register's or a transaction's number, the
// likelier ones first.
var registerWords = []string{"REGISTER", "REG", "TILL", "LANE", "TERMINAL", "POS", "TERM", "CHECKOUT", "STATION", "COUNTER", "RGSTR"}
var transactionWords = []string{"TRANSACTION", "TRANS", "TRAN", "TRN", "TRX", "TXN", "RECEIPT", "RCPT", "INVOICE", "INV", "BILL", "DOC", "SLIP", "TKT", "TICKET", "ORDER", "CHECK", "CHK", "TC", "SALE", "REC", "TR"}

// readNumbers takes the register and the transaction that a line names.
// register and transaction are the ranks of what was found so far, 0 for
// nothing.
func (p *parser) readNumbers(w *row, register, transaction *int) {
	for i := range w.lx {
		if w.lx[i].kind != lexWord {
			continue
		}
		up := strings.ToUpper(w.lx[i].text)
		if rank := rankOf(up, registerWords); rank > *register {
			if n := w.numberAfter(i); n != "" {
				p.r.Register, *register = n, rank
			}
		}
		if rank := rankOf(up, transactionWords); rank > *transaction {
			if n := w.numberAfter(i); n != "" {
				p.r.Transaction, *transaction = n, rank
			}
		}
	}
}

// rankOf ranks s among words, the first highest; 0 where it is not among them.
func rankOf(s string, words []string) int {
	for i, w := range words {
		if w == s {
			return len(words) - i
		}
	}
	return 0
}

// numberAfter is the number that the word at i names: the next run of digits
// and letters with a digit in it, with at most NO, NUM, ID and signs between.
func (w *row) numberAfter(i int) string {
	for j := i + 1; j < len(w.lx); j++ {
		l := &w.lx[j]
		if l.kind == lexSign && (l.sign == '#' || l.sign == ':' || l.sign == '.' || l.sign == '-' && !l.glued) {
			continue
		}
		if l.kind == lexWord && (j+1 == len(w.lx) || !w.lx[j+1].glued || w.lx[j+1].kind == lexSign) {
			switch strings.ToUpper(l.text) {
			case "NO", "NUM", "NUMBER", "ID", "NBR", "CODE":
				continue
			}
			return ""
		}
		text, digits := "", false
		for ; j < len(w.lx) && (text == "" || w.lx[j].glued); j++ {
			if k := &w.lx[j]; k.kind == lexNumber || k.kind == lexWord || k.isSign('-') || k.isSign('/') {
				text += k.text
				digits = digits || k.kind == lexNumber
			} else {
				break
			}
		}
		if !digits || j < len(w.lx) && w.lx[j].glued && w.lx[j].isSign(':') {
			return ""
		}
		return text
	}
	return ""
}
