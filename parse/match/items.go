package match

import (
	"slices"

	"tillproof/money"
	"tillproof/plan"

	"github.com/shopspring/decimal"
)

// Scores are from 0 to 100 in this package; Match.Score is a hundredth.
const (
	// enough is the least score of a match that is more than a guess.
	enough = 45
	// sure is the score of a name from which no second ground is needed.
	sure = 55
	// half is that of a name of which half the words were read.
	half = 40
	// hint is the least likeness of a name where a price decides.
	hint = 20
)

// ItemMatch is what a receipt shows of one planned item.
type ItemMatch struct {
	// Entries are its lines that were not voided, Voided those that were.
	Entries []Entry
	Voided  []Entry
	// Fees are the deposits and charges printed for it.
	Fees []Entry
	// Savings are the deductions that make its own sale price.
	Savings []Cut
	// Units is the number rung, as printed or else as the amount says.
	Units int
	Score int
	By    By
	// Weak: the name alone would not have said so.
	Weak bool

	guess bool // Units stands on a quantity that nothing bears out
}

// wanted is one planned item with its texts cut into words once.
type wanted struct {
	item   *plan.Item
	name   name
	prints []name
}

// like is how well n names the item, by its name or as it prints.
func (w *wanted) like(n *name) int {
	score := likeness(n, &w.name)
	for k := range w.prints {
		score = max(score, likeness(n, &w.prints[k]))
	}
	return score
}

func want(items []*plan.Item) []wanted {
	all := make([]wanted, len(items))
	for i, it := range items {
		all[i] = wanted{item: it, name: newName(it.Name)}
		for _, p := range it.PrintsAs {
			all[i].prints = append(all[i].prints, newName(p))
		}
	}
	return all
}

// ground is how well an entry suits an item, and why.
type ground struct {
	score int // 0 to 100
	name  int // likeness of the texts alone
	by    By
	weak  bool
	// against: it is another variety, whatever the price.
	against bool
	// over: not its own words name it, but those of the line above.
	over bool
}

// compare scores one entry against one planned item.
func compare(e *Entry, w *wanted) ground {
	if e.Code != "" && w.item.Code != "" && sameCode(e.Code, w.item.Code) {
		return ground{score: 100, name: 100, by: ByCode}
	}
	text := &e.name
	g := ground{name: likeness(text, &w.name), by: ByName}
	if g.name < hint && len(e.above.words) > 0 {
		if n := likeness(&e.above, &w.name); n >= sure {
			g.name, text = n, &e.above
		}
	}
	for i := range w.prints {
		if e.name.reads(&w.prints[i]) {
			g.name, g.by = 100, ByPrintsAs
		}
	}
	if e.Code != "" && otherCode(e.Code, w.item.Code) && g.by == ByName {
		if e.clean && g.name < 97 {
			return ground{name: g.name, against: true}
		}
		g.name = min(g.name, sure-1)
	}
	if g.by == ByName && g.name >= hint && g.name < 97 {
		switch varies(text, &w.name, e.clean) {
		case other:
			return ground{name: g.name, against: true}
		case unlike:
			g.name = min(g.name, sure-1)
		case perhaps:
			g.weak = e.clean || priceFit(e, w.item) < exactPrice || !headMisread(text, &w.name)
		}
	}
	if g.name < hint {
		return ground{name: g.name}
	}
	if text == &e.above {
		g.by, g.weak, g.over = ByElimination, true, true // its own words say nothing
	}
	price := priceFit(e, w.item)
	g.score = g.name*8/10 + price
	if g.name < sure {
		g.by, g.weak = ByPrice, e.clean || !e.weighsAs(w.item) && !(g.name >= half && e.countsAs(w.item) && !IsOther(e, w.item))
		if price < exactPrice {
			g.score = 0
		} else {
			g.score = max(g.score, enough)
		}
	}
	return g
}

// exactPrice is what a price adds that is just the planned one.
const exactPrice = 20

// priceFit says from 0 to exactPrice how well the printed price suits it.
func priceFit(e *Entry, it *plan.Item) int {
	if it.Weight != nil {
		if e.Weight != nil {
			return exactPrice
		}
		return exactPrice / 2
	}
	if !e.Known {
		return exactPrice / 4
	}
	n, exact := units(e, it, money.Amount{}, false)
	switch {
	case exact && e.Units > 0 && e.Units == it.Quantity:
		return exactPrice + 1
	case exact:
		return exactPrice
	}
	return closeness(e.Amount, it.Cost(n)) * exactPrice / 150
}

// closeness says from 0 to 100 how near two amounts are.
func closeness(a, b money.Amount) int {
	high, low := money.Max(a.Abs(), b.Abs()).Cents(), money.Min(a.Abs(), b.Abs()).Cents()
	if high == 0 {
		return 100
	}
	return int(100 * low / high)
}

// units says how many units an entry stands for: those printed, else the
// number whose price is the entry's amount, before or after savings printed
// beneath it. exact is whether some such price fits to the cent. A printed
// quantity stands in no sum by itself: where neither a price nor the printed
// unit price bears it out and another number fits, that number is taken.
func units(e *Entry, it *plan.Item, savings money.Amount, counted bool) (n int, exact bool) {
	paid := e.Amount.Sub(savings)
	fits := func(n int) bool {
		price := it.Cost(n)
		return paid == price || e.Amount == price || e.Amount == it.Shelf.Mul(n)
	}
	if it.Weight != nil || !e.Known {
		return max(e.Units, 1), false
	}
	each := e.unitsByEach()
	if e.Units > 0 {
		switch {
		case fits(e.Units):
			return e.Units, true
		case it.Quantity == 1 && fits(1):
			return 1, true // what the plan calls a unit is the whole line
		case each == e.Units:
			return e.Units, false
		}
	}
	switch {
	case each > 0 && fits(each):
		return each, true
	case counted && fits(1):
		return 1, true
	case fits(it.Quantity):
		return it.Quantity, true
	case counted && e.Units == 0 && each == 0:
		return 1, false // at twice the price
	}
	for n := 1; n <= it.Quantity+3; n++ {
		if fits(n) {
			return n, true
		}
	}
	switch {
	case e.Units > 0:
		return e.Units, false
	case each > 0:
		return each, false
	case counted:
		return 1, false
	}
	// No price fits: the planned number at another price, which is one mistake, unless that
	// is far off; then the number whose price comes nearest.
	if it.Quantity == 1 || closeness(paid, it.Cost(it.Quantity)) >= halfAsMuch {
		return it.Quantity, false
	}
	best, near := 1, 0
	for n := 1; n <= it.Quantity+1; n++ {
		if c := max(closeness(paid, it.Cost(n)), closeness(e.Amount, it.Shelf.Mul(n))); c > near {
			best, near = n, c
		}
	}
	return best, false
}

// halfAsMuch is how close a price has to be to the planned one to be it with a mistake.
const halfAsMuch = 50

// guessed reports whether the number of units of an entry stands on a printed
// quantity alone, that may be misread, and no price bears it out; or on there
// being none where several were planned, when its line may have been lost.
func (e *Entry) guessed(it *plan.Item, exact bool) bool {
	if e.clean || exact {
		return false
	}
	if e.Units == 0 {
		return it.Quantity > 1 && it.Weight == nil && e.unitsByEach() == 0
	}
	return e.Units != it.Quantity && e.unitsByEach() != e.Units
}

// unnumbered reports whether nothing printed says how many units an entry is.
func (e *Entry) unnumbered(it *plan.Item, counted bool) bool {
	return e.Units == 0 && !counted && it.Weight == nil && e.unitsByEach() == 0
}

// Unsure reports whether a finding on the item may rest on a wrong match or a
// misread quantity.
func (m *ItemMatch) Unsure() bool { return m.Weak || m.guess }

// unitsByEach is the number of units that the printed unit price gives, 0 for
// none.
func (e *Entry) unitsByEach() int {
	if e.Each == nil || !e.Each.IsPositive() {
		return 0
	}
	n := e.Amount.Decimal().Mul(decimal.NewFromInt(int64(e.PriceFor))).Div(*e.Each).Round(0)
	if n.LessThan(decimal.NewFromInt(1)) || n.GreaterThan(decimal.NewFromInt(999)) {
		return 0
	}
	if money.Round(e.Each.Mul(n).Div(decimal.NewFromInt(int64(e.PriceFor)))) != e.Amount {
		return 0
	}
	return int(n.IntPart())
}

// matchItems gives each entry to a planned item, or to none, so that the
// scores add up to the most possible.
func matchItems(items []wanted, c *content) []ItemMatch {
	found := make([]ItemMatch, len(items))
	var rows []int // indices of entries
	for i := range c.entries {
		if !c.entries[i].Fee {
			rows = append(rows, i)
		}
	}
	if len(rows) == 0 || len(items) == 0 {
		return found
	}
	grounds := make([]ground, len(rows)*len(items))
	for r, e := range rows {
		for i := range items {
			grounds[r*len(items)+i] = compare(&c.entries[e], &items[i])
		}
		// What names other goods, another variety of them too, is not named by the line above.
		own := grounds[r*len(items) : (r+1)*len(items)]
		if slices.ContainsFunc(own, func(g ground) bool { return !g.over && g.name >= sure }) {
			for i := range own {
				if own[i].over {
					own[i] = ground{}
				}
			}
		}
	}
	columns := copiesOf(items, len(rows), grounds)
	cost := costs(len(rows), len(columns), func(r, col int) int {
		return grounds[r*len(items)+columns[col].of].score*10 - columns[col].extra
	})
	for r, col := range assign(cost) {
		if col >= len(columns) {
			continue
		}
		if i := columns[col].of; grounds[r*len(items)+i].score >= enough {
			found[i].add(i, &c.entries[rows[r]], grounds[r*len(items)+i])
		}
	}
	eliminate(found, items, rows, grounds, c)
	return found
}

// column is one place for a row in an assignment: the nth copy of an item or
// offer. extra is taken off the score (of 1000), so that lines beyond the
// planned units go to one that still lacks some, where all else is equal.
type column struct{ of, extra int }

// copiesOf lays out the columns: each item as often as entries may be it.
func copiesOf(items []wanted, rows int, grounds []ground) (columns []column) {
	for i := range items {
		copies := 0
		for r := range rows {
			if grounds[r*len(items)+i].score < enough {
				continue
			}
			extra := copies
			if copies >= items[i].item.Quantity {
				extra = 60
			}
			columns = append(columns, column{i, min(extra, 60)})
			copies++
		}
	}
	return columns
}

// costs turns scores (0 to 1000) into what assign takes, with a dummy column
// for each row that costs as much as a match just not good enough.
func costs(rows, columns int, score func(r, col int) int) [][]int32 {
	cost := make([][]int32, rows)
	all := make([]int32, rows*(columns+rows))
	for r := range cost {
		cost[r] = all[r*(columns+rows) : (r+1)*(columns+rows)]
		for col := range columns {
			cost[r][col] = int32(1000 - score(r, col))
		}
		for d := range rows {
			cost[r][columns+d] = 1000 - enough*10 + 10
		}
	}
	return cost
}

func (m *ItemMatch) add(item int, e *Entry, g ground) {
	e.matched, e.item = true, item
	if e.Voided {
		m.Voided = append(m.Voided, *e)
	} else {
		m.Entries = append(m.Entries, *e)
	}
	if g.score > m.Score {
		m.Score, m.By = min(g.score, 100), g.by
	}
	m.Weak = m.Weak || g.weak
}

// eliminate matches the one entry that is left with the one item that is left,
// where price and name leave it possible.
func eliminate(found []ItemMatch, items []wanted, rows []int, grounds []ground, c *content) {
	entry, item := -1, -1
	for r, e := range rows {
		if !c.entries[e].matched {
			if entry >= 0 {
				return
			}
			entry = r
		}
	}
	for i := range found {
		if len(found[i].Entries) == 0 {
			if item >= 0 {
				return
			}
			item = i
		}
	}
	if entry < 0 || item < 0 || len(items) < 2 {
		return
	}
	e, g := &c.entries[rows[entry]], grounds[entry*len(items)+item]
	priced := e.nameless && priceFit(e, items[item].item) >= exactPrice
	if g.name < hint && !priced || g.against || !e.Known || otherCode(e.Code, items[item].item.Code) {
		return
	}
	g.score, g.by, g.weak = enough, ByElimination, true
	found[item].add(item, e, g)
}
