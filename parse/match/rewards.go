package match

import (
	"slices"

	"tillproof/money"
	"tillproof/parse"
	"tillproof/plan"
)

// rewardWords are the words by which tills name the kinds of credit.
var rewardWords = map[string][]string{
	"gift card":    {"GIFT", "GIFTCARD", "GC", "GFT"},
	"points":       {"POINTS", "PTS", "POINT", "PNTS"},
	"store credit": {"CREDIT", "VOUCHER", "REWARD", "REWARDS", "BUCKS", "CASHBACK", "CERTIFICATE", "COUPON"},
}

// matchRewards gives each line that tells of a credit to an offer, or to none.
func matchRewards(a *Assignment, p *plan.Plan, tx *plan.Transaction, bill *plan.TransactionBill, c *content) {
	if len(c.rewards) == 0 {
		return
	}
	var offers []*plan.Offer
	for _, o := range p.Offers {
		if o.Credit != nil {
			offers = append(offers, o)
		}
	}
	if len(offers) == 0 {
		return
	}
	var columns []column
	scores := make([]int, len(c.rewards)*len(offers))
	for k, o := range offers {
		title := newName(o.Title)
		value, uses := due(bill, o)
		copies := 0
		for r := range c.rewards {
			score := c.rewards[r].suits(o, &title, value, uses, p.Store.Prints)
			if !coversAny(o, tx) {
				score -= 40
			}
			if uses == 0 && c.rewards[r].Points > 0 && c.rewards[r].Points != o.Credit.Points {
				score = 0 // the points that every trip earns
			}
			scores[r*len(offers)+k] = score
			if score >= enough {
				extra := 0
				if copies >= max(uses, 1) {
					extra = 300 // told once more, at most
				}
				columns = append(columns, column{k, extra + min(copies, 20)})
				copies++
			}
		}
	}
	cost := costs(len(c.rewards), len(columns), func(r, col int) int {
		return scores[r*len(offers)+columns[col].of]*10 - columns[col].extra
	})
	for r, col := range assign(cost) {
		if col >= len(columns) {
			continue
		}
		k := columns[col].of
		score := scores[r*len(offers)+k]
		if score < enough {
			continue
		}
		m := &a.Offers[offers[k].Index]
		c.rewards[r].taken = true
		m.Rewards = append(m.Rewards, c.rewards[r])
		if score > m.Score {
			m.Score, m.By = score, ByName
		}
	}
}

// due is what the bill gives as the credit of o and how often: what it would be worth and
// 0 where it gives none.
func due(bill *plan.TransactionBill, o *plan.Offer) (value money.Amount, uses int) {
	value = o.Credit.Value
	for i := range bill.Credits {
		if bill.Credits[i].Offer == o.ID {
			value, uses = bill.Credits[i].Value, max(bill.Credits[i].Uses, 1)
		}
	}
	return value, uses
}

// coversAny reports whether o applies to anything in tx: what it is spent on is
// not bought in another transaction.
func coversAny(o *plan.Offer, tx *plan.Transaction) bool {
	for _, it := range tx.Items {
		if o.Covers(it) {
			return true
		}
	}
	return false
}

// suits says from 0 to 100 how well a line tells that the credit of o was given.
func (r *Reward) suits(o *plan.Offer, title *name, value money.Amount, uses int, prints map[string][]string) int {
	gives := r.gives()
	if r.mute && uses == 0 && !r.name.has(done...) {
		return 0 // what was not due is told in plain words, or is not there
	}
	if r.tellsElse() || (r.stands() || r.urges() || r.saved && !r.namesAny()) && (r.Value != value || uses == 0) {
		return 0
	}
	card := o.Credit.Kind == "gift card" && r.name.has("CARD") && !r.known && r.Value == value
	if !gives && !r.told && !card && !r.namesAny() && !r.saysStore(prints["credit"]) && !r.saysStore(prints[o.Credit.Kind]) {
		return 0 // an amount alone is no ground
	}
	if r.Points > 0 && r.Points != o.Credit.Points && r.Points != o.Credit.Points*uses && !gives && r.name.has("YOUR", "TODAY", "CENTS", "HAVE", "EACH", "TOTAL") {
		return 0 // "Your points today: 2788"
	}
	score := 15
	own, other := r.names(o.Credit.Kind, prints), false
	for kind := range rewardWords {
		other = other || kind != o.Credit.Kind && r.names(kind, prints)
	}
	switch {
	case own, r.saysStore(prints["credit"]):
		score += 25
	case other && r.Value == value:
		score -= 20 // what the plan calls points a till may call a coupon
	case other:
		score -= 30
	case o.Credit.Kind == "gift card" && r.name.has("CARD"):
		score += 15
	}
	if r.mute && (r.Value.IsZero() || r.Value != value) && !(gives && score >= 30) {
		return 0
	}
	if gives {
		score += 10
	}
	if r.told {
		score += 12
	}
	score += likeness(&r.name, title) / 8
	if o.Credit.Shows == "slip" || o.Credit.Shows == "account" {
		score -= 3 // what the receipt need not tell is told for another offer rather
		if r.Value != value {
			score -= 7
		}
	}
	each := value
	if uses > 1 {
		each = money.FromCents(value.Cents() / int64(uses))
	}
	switch {
	case r.Points > 0 && o.Credit.Points > 0 && (r.Points == o.Credit.Points || r.Points == o.Credit.Points*uses):
		score += amountExact
	case !r.Value.IsZero() && (r.Value == value || r.Value == each):
		score += amountExact
	case !r.Value.IsZero():
		score += closeness(r.Value, value) * amountNear / 100
	}
	return max(0, min(score, 100))
}

// holders are words for whoever has the shop's card.
var holders = []name{newName("WITH CARD"), newName("WITH THE CARD"), newName("WITH YOUR CARD")}

// onAccount, toDate and asOf are words by which a line tells what is on an account already.
var onAccount, toDate, asOf = newName("ON ACCOUNT"), newName("TO DATE"), newName("AS OF")

// isBalance reports whether the line tells what points an account has.
func (r *Reward) isBalance() bool {
	return r.names("points", nil) &&
		(r.name.contains(&onAccount) || r.name.contains(&toDate) || r.name.contains(&asOf) || r.name.has("HAS", "HAVE") && !r.gives())
}

// tellsElse reports whether the line tells of a balance, of savings, of what was
// paid with, of what is still to be spent or of what any spending would bring: of
// no credit that was given.
func (r *Reward) tellsElse() bool {
	if r.name.has("EACH", "EVERY") && r.name.has("EARN", "GET", "SPEND", "SPENT") || r.name.has("COULD", "WIN") {
		return true
	}
	if r.name.has("SAVE") && !r.name.has("NEXT") || r.offers || r.name.has(apart...) {
		return true
	}
	if r.name.has("COUPON", "COUPONS") && r.name.has("TOTAL") {
		return true // all that the receipt's coupons took off
	}
	if r.name.has("UNTIL") && !r.name.has(done...) {
		return true // what is earned already is good until a day
	}
	if (r.priced || r.asks || slices.ContainsFunc(holders, func(n name) bool { return r.name.contains(&n) }) && !r.namesAny()) && !r.told && !r.name.has(done...) {
		return true // what goods cost, or cost those with a card, or a question
	}
	return r.isBalance() ||
		r.name.has("BALANCE", "BAL", "SAVED", "SAVINGS", "SAVES", "SAVING", "KEPT", "POCKET", "REDEEMED", "USED", "APPLIED", "BEGINNING", "OPENING", "CARRIED", "PREVIOUS", "PRIOR", "MORE", "NEED", "AWAY", "LEFT", "REMAINING", "TENDER", "PAID", "FAR", "SOLD", "APPROVED", "AUTH", "CHANGE")
}

// apart are words of lines that mostly tell of something else than this trip's credits.
var apart = []string{"LIFETIME", "ANNUAL", "YTD", "YEAR", "DELIVERY", "DONATE", "DONATED", "CHARGED", "GALLON", "CHARITY", "SURVEY", "SWEEPSTAKES", "PRIZE"}

// goesOn takes a line with an amount that goes on with the one above, which has another,
// for what spending would bring: "SAVE 4.00" over "ON YOUR NEXT 40.00". What is brought is
// less than what is spent.
func (r *Reward) goesOn(of *parse.Receipt) {
	if r.Line < 2 || len(r.amounts) != 1 || len(r.name.words) == 0 || r.name.words[0].text != "ON" {
		return
	}
	above := of.Line(r.Line - 1).Text
	both := newName(above + " " + of.Line(r.Line).Text)
	if more := amountsIn(above); len(more) == 1 && more[0].Cmp(r.amounts[0]) < 0 && offersMore(2, &both) {
		r.offers, r.goes = true, true
		r.amounts = append(r.amounts, more[0])
	}
}

// mayBeTold reports whether a line that seems to tell of something else may be how the
// till tells of the credit of o: it names a credit and its value, and, where it offers
// something for spending, this kind and what that asks for or what was spent.
func (r *Reward) mayBeTold(o *plan.Offer) bool {
	if o.Credit.Value.IsZero() || !r.namesAny() && !r.goes {
		return false
	}
	if r.goes { // "SAVE 4.00" may be how a till words it
		return slices.Contains(r.amounts, o.Credit.Value)
	}
	if !r.offers {
		return r.Value == o.Credit.Value && !r.name.has("REDEEMED", "USED", "TENDER", "PAID", "PREVIOUS", "PRIOR", "BEGINNING")
	}
	return r.names(o.Credit.Kind, nil) && slices.Contains(r.amounts, o.Credit.Value) && (r.name.has("SPENT") ||
		!slices.ContainsFunc(r.amounts, func(a money.Amount) bool { return a != o.Credit.Value && (o.Spend == nil || a != *o.Spend) }))
}

// stands reports whether the line tells what stands on an account, unless its value
// is just what was to be given.
func (r *Reward) stands() bool {
	return r.name.has("AVAILABLE", "AVAIL", "MONTH", "AFTER") || r.name.has("TOWARD", "TOWARDS") && (r.Value.IsZero() || r.Points > 0)
}

// urges reports whether the line begins with what the shopper is to do for a credit:
// "COLLECT 500 POINTS FOR YOUR NEXT 5.00 REWARD".
func (r *Reward) urges() bool {
	if len(r.name.words) == 0 || r.name.has(done...) || r.name.has("ADDED", "LOADED", "ISSUED", "PRINTED", "EARNED", "AWARDED", "GRANTED") {
		return false
	}
	home := len(r.name.words) > 1 && r.name.words[1].text == "HOME" // "Take home a gift card"
	return slices.Contains(urging, r.name.words[0].text) && !home
}

var urging = []string{"COLLECT", "SPEND", "EARN", "GET", "JOIN", "BUY", "SIGN", "TRY", "ASK", "DOWNLOAD", "REGISTER", "REFER", "WIN", "ENTER", "TAKE"}

// given are words by which a line gives something.
var given = []string{"EARNED", "EARN", "ISSUED", "AWARDED", "CONGRATULATIONS", "ADDED", "RECEIVED", "GET", "GOT", "EARNS", "NEXT", "NEW", "LOADED", "GIVEN", "WON", "BACK", "PRINTED", "READY", "YOURS", "COLLECTED", "ACTIVATED", "GRANTED", "LATER", "BONUS", "HERE", "WAITS", "WAITING", "ENCLOSED", "ATTACHED", "ENJOY", "FREE", "COLLECT", "ACTIVE", "SENT", "EXTRA"}

var forYou, fromUs = newName("FOR YOU"), newName("FROM US")

// gives reports whether the line has words of giving.
func (r *Reward) gives() bool {
	return r.name.has(given...) || r.name.contains(&forYou) || r.name.contains(&fromUs)
}

// shopCards are the words for cards that are worth money, beside GIFT.
var shopCards = []name{newName("SHOP CARD"), newName("SHOPPING CARD"), newName("STORE CARD"), newName("VALUE CARD"), newName("PREPAID CARD"), newName("CASH CARD"), newName("MONEY CARD"), newName("REWARD CARD"), newName("BONUS CARD"), newName("CREDIT CARD REWARD")}

// isShopCard reports whether the line names a card that is worth money.
func (r *Reward) isShopCard() bool {
	return slices.ContainsFunc(shopCards, func(n name) bool { return r.name.contains(&n) })
}

// MayTell reports whether a line that no offer has may tell of the credit of o,
// in words or of a value that were not expected. Points are told on every
// receipt, so of them only what fits counts.
func (a *Assignment) MayTell(o *plan.Offer) bool {
	if o.Credit == nil {
		return false
	}
	for i := range a.c.rewards {
		r := &a.c.rewards[i]
		if !r.taken && r.mayBeTold(o) {
			return true
		}
		if r.taken || r.tellsElse() || r.Value.IsZero() {
			continue
		}
		if r.Value == o.Credit.Value {
			return true
		}
		kind := o.Credit.Kind
		if r.stands() && kind != "points" && r.names(kind, nil) && closeness(r.Value, o.Credit.Value) >= 60 {
			return true
		}
		if r.stands() || r.urges() || r.known {
			if r.told && kind != "points" && r.names(kind, nil) {
				return true // its words may give it all the same
			}
			continue
		}
		if kind == "points" && r.told && r.Points == 0 && r.namesAny() {
			return true // what the plan calls points a till may call otherwise
		}
		if (r.gives() || r.namesAny()) && closeness(r.Value, o.Credit.Value) >= 60 {
			return true
		}
		if kind != "points" && (!r.mute && r.told || r.names(kind, nil) && (!r.mute || r.gives())) ||
			kind == "gift card" && r.name.has("CARD") || r.gives() && (r.namesAny() || r.Points == 0 && kind != "gift card" && !r.mute) {
			return true
		}
	}
	return false
}

// namesAny reports whether the line names any kind of credit.
func (r *Reward) namesAny() bool {
	for kind := range rewardWords {
		if r.names(kind, nil) {
			return true
		}
	}
	return false
}

// names reports whether the line names a kind of credit.
func (r *Reward) names(kind string, prints map[string][]string) bool {
	return r.saysStore(prints[kind]) || r.name.has(rewardWords[kind]...) || kind == "gift card" && r.isShopCard()
}

// saysStore reports whether the line has one of the store's own words.
func (r *Reward) saysStore(texts []string) bool {
	for _, text := range texts {
		if p := newName(text); len(p.words) > 0 && r.name.contains(&p) {
			return true
		}
	}
	return false
}
