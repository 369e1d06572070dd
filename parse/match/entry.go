package match

import (
	"regexp"
	"slices"
	"strings"

	"tillproof/money"
	"tillproof/parse"
	"tillproof/plan"

	"github.com/shopspring/decimal"
)

// Entry is one thing a receipt rings up: an item line with its quantity lines
// and what was voided of it, or a fee.
type Entry struct {
	// Lines are its line numbers, the item's own first, in order.
	Lines []int
	Name  string
	Code  string
	// Units are those printed, 0 where no quantity is printed.
	Units int
	// Weight is in Unit, nil for goods that are not weighed.
	Weight *decimal.Decimal
	Unit   string
	// Each is the printed price of one unit (of PriceFor units), nil for none.
	Each     *decimal.Decimal
	PriceFor int
	// Amount is what it adds to the receipt, before any deduction.
	Amount money.Amount
	// Known is false where an amount of it could not be read.
	Known bool
	// Voided: it was rung and taken back, so that nothing is left of it.
	Voided bool
	// Fee: it is a deposit or charge. Of is then the line of the item it is for.
	Fee   bool
	Of    int
	Flags string

	name     name
	above    name // the line above where that is taken for nothing: it may be the name
	clean    bool // of a text: no letter of it can be misread
	matched  bool
	nameless bool // a quantity and its amount, without a name
	vague    bool // a number of units is printed that was not read for sure
	item     int  // the planned item it was matched to, notPlanned for none
}

// notPlanned marks an entry that is no planned item.
const notPlanned = -2

// Cut is one deduction printed on a receipt, with what was voided of it.
type Cut struct {
	Lines []int
	Name  string
	// Of is the item line it is printed for, 0 where that is not known.
	Of int
	// ByCode: Of is told by the number of the goods, which its line has as well.
	ByCode bool
	// Off is what it takes off, a positive amount.
	Off   money.Amount
	Known bool
	// Voided: it was taken and taken back; Was is what it was before.
	Voided bool
	Was    money.Amount
	// Last: no item is rung below it, so that it may belong to any.
	Last bool
	// Names is the planned item that its text names, by Item.Index, -1 for none.
	Names int
	// May are the offers, by Offer.Index, that it may be for all its text says,
	// where it was matched to none.
	May []int

	name    name
	words   vocabulary
	likes   []like
	matched bool
	lead    int // how many of its first words are the till's own
	// under is the line below where that is taken for nothing: it may say what it is for.
	under     name
	underText string
}

// Like says from 0 to 100 how well the words of c name a planned item.
func (c *Cut) Like(item int) int {
	for _, l := range c.likes {
		if l.item == item {
			return l.score
		}
	}
	return 0
}

// Silent reports whether the words of c say nothing of any goods.
func (c *Cut) Silent() bool { return c.words.rest.size < 2 }

// SaysMuch reports whether the words of c about goods are more than one short word, which
// may be a word of the till's.
func (c *Cut) SaysMuch() bool { return c.words.rest.size >= 6 }

// Fits says how well the words of c, its amount and place apart, suit o: above
// zero where they speak for it, below where they speak against it.
func (c *Cut) Fits(o *plan.Offer) int { return c.words.fits(o) }

// Suits reports whether the words of c let it be o.
func (c *Cut) Suits(o *plan.Offer) bool { return c.Fits(o) > -20 }

// MayRather reports whether the words of c let it be o about as well as other.
func (c *Cut) MayRather(o, other *plan.Offer) bool {
	return c.Suits(o) && c.Fits(o)+rather > c.Fits(other)
}

// rather is by how much words must speak for one offer more than for another to
// leave no doubt between the two.
const rather = 20

// Reward is a printed line that tells of a credit.
type Reward struct {
	Line   int
	Value  money.Amount
	Points int

	name  name
	told  bool // the parser takes it for a credit that was given
	mute  bool // the parser takes it for nothing: only its value can tell
	taken bool // an offer has it
	// offers: it says what spending would bring; known: its amount is one of the
	// receipt's own, the total or what was paid; saved: it is what was saved.
	// priced: it says what so much of goods costs; asks: it asks something.
	offers, known, saved bool
	priced, asks         bool
	goes                 bool           // it goes on with the line above
	amounts              []money.Amount // all that the line names
}

// content is what a receipt has to match.
type content struct {
	entries []Entry
	cuts    []Cut
	rewards []Reward
	// byLine says which entry a line belongs to, counted from 1; 0: none.
	byLine []int
	// numbers is room for the line numbers of entries and cuts.
	numbers []int
	// sums is the line of the last subtotal, below which no goods are rung; 0 for
	// none.
	sums int
	// counted: quantities are printed, so that a line without one is one unit.
	counted bool
	// proved: the receipt states how many units it has, and all were read.
	proved bool
}

// gather reads entries, cuts and rewards off the lines of r.
func gather(r *parse.Receipt) *content {
	c := &content{byLine: make([]int, len(r.Lines)+1), entries: make([]Entry, 0, len(r.Lines)), numbers: make([]int, 0, len(r.Lines))}
	paid := false // below the tenders a till tells of rewards
	tables := savingsTables(r)
	for i := range r.Lines {
		l := &r.Lines[i]
		if tables[l.N] {
			continue
		}
		switch l.Kind {
		case parse.LineItem:
			c.newEntry(l)
		case parse.LineQuantity:
			if l.Of == 0 && l.Amount != nil {
				c.newEntry(l) // goods whose name was not read, or not known for one
				c.entries[len(c.entries)-1].nameless = true
			} else {
				c.addQuantity(l)
			}
		case parse.LineFee:
			c.newEntry(l)
		case parse.LineSubtotal:
			c.sums = l.N
		case parse.LineDeduction:
			c.newCut(r, l)
			cut := &c.cuts[len(c.cuts)-1]
			cut.under, cut.underText = noteUnder(r, l.N)
		case parse.LineVoid:
			c.void(r, l)
		case parse.LineCredit, parse.LineMessage:
			c.newReward(r, l)
		case parse.LineOther:
			if paid {
				c.newReward(r, l)
			}
		case parse.LineTender:
			paid = true
		}
	}
	c.echoed(r)
	for i := range c.entries {
		c.entries[i].name = newName(weightless(c.entries[i].Name))
		c.entries[i].name.clean = c.entries[i].clean
		c.entries[i].name.trust(r.Line(c.entries[i].Lines[0]))
		c.entries[i].name.dropCodes()
		c.entries[i].name.dropMark()
		c.entries[i].above = nameOver(r, c.entries[i].Lines[0])
		c.counted = c.counted || c.entries[i].Units > 1 || i > 0 && c.entries[i-1].sameAs(&c.entries[i])
	}
	for i := range c.cuts {
		c.cuts[i].name = newName(c.cuts[i].Name)
		c.cuts[i].name.clean = r.Line(c.cuts[i].Lines[0]).Photo == 0
		c.cuts[i].under.clean = c.cuts[i].name.clean
	}
	c.tillWords()
	c.proved = c.unitsCounted(r)
	return c
}

// nameOver is the line above line n of a text where it is taken for nothing and has no
// amount, empty where it is not. A size alone names nothing: it ends the name above it.
func nameOver(r *parse.Receipt, n int) name {
	if n < 2 {
		return name{}
	}
	if l := r.Line(n - 1); l.Kind == parse.LineOther && l.Amount == nil && l.Photo == 0 && hasLetters(l.Text) &&
		(n < 3 || r.Line(n-2).Kind != parse.LineDeduction) { // else it says what that came off
		over := newName(l.Text)
		if slices.ContainsFunc(over.words, func(w word) bool { return w.qualifies() }) {
			return over
		}
	}
	return name{}
}

// number is a list of one line number.
func (c *content) number(n int) []int {
	c.numbers = append(c.numbers, n)
	end := len(c.numbers)
	return c.numbers[end-1 : end : end]
}

func (c *content) newEntry(l *parse.Line) {
	e := Entry{Lines: c.number(l.N), Name: l.Name, Code: l.Code, Fee: l.Kind == parse.LineFee, Of: l.Of, Flags: l.Flags, Known: true, clean: l.Photo == 0, item: notPlanned}
	if e.Name == "" && e.Code == "" {
		e.Name = l.Text
	}
	e.vague = l.UnitsUnsure
	c.entries = append(c.entries, e)
	c.byLine[l.N] = len(c.entries)
	c.entries[len(c.entries)-1].take(l)
	c.entries[len(c.entries)-1].Known = !unreadAmount(l)
}

// sameAs reports whether two entries are printed alike: on such a receipt each
// unit has a line of its own.
func (e *Entry) sameAs(o *Entry) bool {
	return !e.Fee && !o.Fee && e.Name == o.Name && e.Code == o.Code && e.Amount == o.Amount && e.Units <= 1 && o.Units <= 1
}

// unreadAmount reports whether l has an amount that could not be read.
func unreadAmount(l *parse.Line) bool { return l.Amount == nil && l.Proof == parse.Doubtful }

// take adds what l says of quantity, price and amount.
func (e *Entry) take(l *parse.Line) {
	if l.Amount != nil {
		e.Amount = e.Amount.Add(*l.Amount)
	}
	if l.UnitPrice != nil {
		e.Each, e.PriceFor = l.UnitPrice, max(l.PriceFor, 1)
	}
	switch q := l.Quantity; {
	case q == nil:
	case l.Unit != "" || !q.IsInteger():
		e.Weight, e.Unit = q, l.Unit
	default:
		e.Units = int(q.IntPart())
	}
}

func (c *content) addQuantity(l *parse.Line) {
	i := 0
	if l.Of > 0 && l.Of < len(c.byLine) {
		i = c.byLine[l.Of]
	}
	if i == 0 {
		return
	}
	e := &c.entries[i-1]
	if l.Amount != nil && *l.Amount == e.Amount {
		// The item's amount told once more beside its quantity.
		once := *l
		once.Amount = nil
		l = &once
	}
	e.take(l)
	if e.Flags == "" {
		e.Flags = l.Flags // where the amount stands on the second line
	}
	e.Known = e.Known && !unreadAmount(l)
	e.Lines = append(e.Lines, l.N)
	slices.Sort(e.Lines)
	c.byLine[l.N] = i
}

// void takes back what a void line names: the line it belongs to, else the
// nearest line above with the same amount the other way round.
func (c *content) void(r *parse.Receipt, l *parse.Line) {
	of := l.Of
	if of == 0 {
		of = c.voided(r, l)
	}
	if cut := c.cutAt(of); cut != nil {
		cut.Lines = append(cut.Lines, l.N)
		if l.Amount == nil {
			cut.Known = false
			return
		}
		cut.Was = cut.Off
		cut.Off = cut.Off.Sub(l.Amount.Abs())
		cut.Voided = cut.Off.IsZero()
		return
	}
	if of <= 0 || of >= len(c.byLine) || c.byLine[of] == 0 {
		return
	}
	e := &c.entries[c.byLine[of]-1]
	e.Lines = append(e.Lines, l.N)
	c.byLine[l.N] = c.byLine[of]
	if l.Amount == nil {
		e.Known = false
		return
	}
	before := e.Amount
	e.Amount = e.Amount.Sub(l.Amount.Abs())
	e.Voided = e.Amount.IsZero()
	if e.Units > 1 && before.Sign() > 0 {
		// A part of several units: the share of the price says how many.
		if gone := e.Units * int(l.Amount.Abs().Cents()) / int(before.Cents()); gone < e.Units {
			e.Units -= gone
		}
	}
}

func (c *content) cutAt(line int) *Cut {
	for i := range c.cuts {
		if c.cuts[i].Lines[0] == line {
			return &c.cuts[i]
		}
	}
	return nil
}

// voided is the line that a void without Of takes back, 0 for none.
func (c *content) voided(r *parse.Receipt, l *parse.Line) int {
	if l.Amount == nil {
		return 0
	}
	for n := l.N - 1; n >= 1; n-- {
		above := r.Line(n)
		if above.Amount == nil || above.Amount.Abs() != l.Amount.Abs() {
			continue
		}
		if above.Kind == parse.LineItem && c.byLine[n] > 0 && !c.entries[c.byLine[n]-1].Voided || above.Kind == parse.LineDeduction {
			return n
		}
	}
	return 0
}

// formPriced is a price of so much of something: "2 lb grapes for 3.00", "1.99 per lb".
var formPriced = regexp.MustCompile(`(?i)\b\d+ ?(lbs?|kg|g|oz|ct|pk|packs?)\b.*\bfor \$?\d*\.\d\d|\d\.\d\d ?(/|per|a) ?(lb|kg|oz)\b`)

// newReward keeps l where it names money or points. What it is of may stand on
// the line above: "Here is your gift card", "Loaded with 5.00".
func (c *content) newReward(r *parse.Receipt, l *parse.Line) {
	if l.Photo == 0 && l.Amount != nil && l.Amount.Sign() < 0 && strings.Contains(l.Text, "-") {
		return // "COUPON TOTAL 13.12-": what was taken off
	}
	reward := Reward{Line: l.N, Points: l.Points, told: l.Kind == parse.LineCredit, mute: l.Kind == parse.LineOther}
	if l.Amount != nil {
		reward.Value = l.Amount.Abs()
	}
	text := l.Text
	amounts := amountsIn(text)
	if l.Amount == nil && len(amounts) == 1 {
		reward.Value = amounts[0]
	}
	reward.name = newName(text)
	reward.amounts, reward.offers = amounts, offersMore(len(amounts), &reward.name)
	if reward.Value.IsZero() && reward.Points == 0 && !reward.offers {
		return
	}
	reward.priced, reward.asks = formPriced.MatchString(text) && !reward.namesAny(), strings.Contains(text, "?") && !reward.namesAny()
	reward.goesOn(r)
	if len(amounts) == 2 && !reward.offers && isOwnAmount(r, amounts[1]) && !isOwnAmount(r, amounts[0]) {
		reward.Value = amounts[0] // "EARNED 5.00 ON 22.40"
	}
	reward.known, reward.saved = isOwnAmount(r, reward.Value), reward.isSaved(r)
	// The number of points may stand between their name and what they are worth.
	for n := l.N - 1; n > max(l.N-3, 0) && !reward.namesAny(); n-- {
		above := r.Line(n)
		if above.Amount != nil || above.Points != 0 || above.Kind != parse.LineOther && above.Kind != parse.LineMessage {
			break
		}
		if both := (Reward{name: newName(above.Text + " " + text)}); both.namesAny() || !reward.gives() && both.name.has("YOURS", "BONUS") {
			reward.name = both.name
		}
		if strings.Trim(above.Text, "0123456789 ") != "" {
			break
		}
	}
	c.rewards = append(c.rewards, reward)
}
