package main

import (
	"fmt"
	"strings"
)

// goods are words of shelves and aisles.
var goods = strings.Fields(`apple apples apricot aluminum baby bacon bag bagel baking banana bar barley basil
batteries beans beef beer bleach blueberry bottle bowl bran bread broccoli brown brush bulb bun butter cabbage cake
candy canned candle caramel carrot cat celery cereal cheddar cheese cherry chicken chips chocolate cider cinnamon
clam classic cleaner cloth coconut coffee cola cookie corn cottage crackers cranberry cream crisp crunch cucumber
cups dairy dark deli detergent deodorant dill dinner dish dog dozen dressing dried dry eggs energy extra farm fat
fish flakes flour foil frozen fruit fudge garlic gel ginger gluten grain granola grape gravy greek green ground
gum ham hand herb honey hot hummus ice instant jam jelly juice ketchup kitchen kiwi large laundry lean leaf lemon
lentil lettuce light lime liquid loaf lotion mango maple mayo meal meat medium melon milk mini mint mixed mocha
muffin mushroom mustard napkin natural noodle nut oat oats oil olive onion orange oregano organic original paper
pasta pastry paste peach peanut pear peas pepper pickle pie pineapple pink pizza plain plum popcorn pork potato
powder pretzel pumpkin puree quick raisin ranch raspberry red refill rice ripe roast roll rye salad salmon salsa
salt sauce sausage scrub seed sesame shampoo sharp shrimp sliced small smoked snack soap soda soft soup sour soy
spice spinach sponge spread spring steak stick strawberry strips sugar sweet syrup taco tea thin thyme tissue toast
tofu tomato toothpaste tortilla towel trash tuna turkey twist vanilla veal vegan vinegar vitamin waffle walnut water
wax wheat whipped white whole wild wine wings wipes wrap yam yeast yellow yogurt zest zucchini`)

func (v *inventor) deduction() string {
	left := v.one("store coupon", "mfr coupon", "MFR CPN", "coupon", "cpn", "store cpn", "digital coupon", "digital cpn",
		"dig cpn", "app coupon", "e-coupon", "manufacturer coupon", "vendor coupon", "sale savings", "card savings", "member savings",
		"loyalty discount", "instant savings", "promo", "promotion", "discount", "item discount", "markdown", "you saved", "savings",
		"price reduction", "mix & match", "buy 2 save", "buy one get one", "bogo", "multi save", "sc", "mc", "dc", "void", "refund",
		"item void", "void coupon", "senior discount", "employee disc", "club price", "weekly deal", "basket offer", "coupon used",
		"scanned coupon", "mail coupon", "paper coupon", "spend offer", "clearance", "rebate", "return", "bottle return", "reward used",
		"store offer", "maker offer", "adj", "price override", "total savings", "tax exempt", "rain check")
	left = v.inCase(left)
	if v.chance(0.35) {
		left += " " + v.name()
	}
	if v.chance(0.2) {
		left = v.one("*", "** ", "  ", "- ", "<", "-", "  -", "+", "#") + left
	}
	if v.chance(0.2) {
		left += " " + v.one(v.number(90)+"%", v.number(90)+"% OFF", v.number(90)+"% off", "#"+v.digits(4), v.digits(12), "$"+v.price()+" OFF", v.price()+"/"+v.number(9), "(x"+v.number(9)+")", v.number(9)+"@"+v.price())
	}
	if len(left) > v.columns-8 {
		left = strings.TrimSpace(left[:v.columns-8])
	}
	return v.columnsOf(left, v.amount(v.chance(0.9))+v.flag())
}

func (v *inventor) total() string {
	rate := v.one(v.number(12)+"."+v.digits(1+v.rng.IntN(3))+"%", v.number(12)+"%")
	left := v.one("subtotal", "sub total", "sub-total", "subtotal:", "total", "total", "total:", "grand total", "balance", "balance due",
		"amount due", "total due", "order total", "net total", "tax", "tax", "sales tax", "tax1", "tax 2", "tax "+rate, rate+" tax",
		"tax "+rate+" on $"+v.price(), "T1 "+rate, "TX "+rate, "state tax "+rate, "gst "+rate, "hst", "pst", "bottle deposit", "deposit", "bag fee", "crv",
		"env fee", "change", "change due", "cash change", "total tax", "taxable", "non taxable", "total before tax", "total savings",
		"rounding", "tip", "total items", "amount", "you pay", "merchandise", "tax exempt", "total coupons", "total discounts", "A "+rate, "B "+rate)
	left = v.inCase(left)
	if v.chance(0.12) {
		left = v.one("**** ", "*** ", "** ", "* ", "=== ", "--> ") + left
	}
	if v.chance(0.08) {
		left += " (" + v.number(60) + " ITEMS)"
	}
	right := v.amount(v.chance(0.05))
	if v.chance(0.05) {
		right = v.one("USD ", "CAD ", "USD$ ", "US$") + v.price()
	}
	return v.columnsOf(left, right+v.flag())
}

// masked is a card number with most digits hidden.
func (v *inventor) masked() string {
	hide := v.one("X", "X", "*", "*", "x", "#", ".")
	switch v.rng.IntN(5) {
	case 0:
		four := strings.Repeat(hide, 4)
		return four + " " + four + " " + four + " " + v.digits(4)
	case 1:
		return strings.Repeat(hide, 4) + v.digits(4)
	case 2:
		four := strings.Repeat(hide, 4)
		return four + "-" + four + "-" + four + "-" + v.digits(4)
	}
	return strings.Repeat(hide, 8+v.rng.IntN(5)) + v.digits(4)
}

func (v *inventor) tender() string {
	kind := v.inCase(v.one("cash", "debit", "credit", "debit card", "credit card", "gift card", "giftcard", "store credit", "check", "ebt", "ebt food", "card", "points used", "tender", "payment", "voucher", "acct", "account", "card #", "card no", "card num", "amount paid"))
	switch v.rng.IntN(8) {
	case 0, 1, 2:
		return v.columnsOf(kind, v.amount(v.chance(0.1)))
	case 3, 4:
		return v.columnsOf(kind+v.one("", ":", " #:", "#"), v.masked())
	case 5:
		return kind + " " + v.masked() + " " + v.amount(false)
	case 6:
		return v.one("AUTH CODE ", "AUTH# ", "Auth: ", "APPR CODE ", "APPROVAL ", "REF# ", "REF ", "Ref: ", "TRACE ", "SEQ# ", "INV# ", "AID: A0", "TVR: ", "TSI: ", "TC: ", "IAD: ", "TERM ID ", "MID: ") + v.hex(4+v.rng.IntN(12))
	}
	return v.inCase(v.one("approved", "chip read", "entry method: chip", "contactless", "swiped", "customer copy", "no signature required", "pin verified", "mode: issuer", "sale", "purchase", "remaining balance", "signature", "i agree to pay above total amount", "not approved", "entry: tap")) + v.one("", "", " "+v.digits(6), ": "+v.price())
}

func (v *inventor) hex(n int) string {
	b := make([]byte, n)
	hexes := "0123456789"
	if v.chance(0.4) {
		hexes = "0123456789ABCDEF"
	}
	for i := range b {
		b[i] = hexes[v.rng.IntN(len(hexes))]
	}
	return string(b)
}

// grouped is a whole number with commas.
func (v *inventor) grouped() string {
	if v.chance(0.5) {
		return v.number(1000)
	}
	return fmt.Sprintf("%d,%s", 1+v.rng.IntN(99), v.digits(3))
}

func (v *inventor) reward() string {
	p, d, g := v.price(), v.date(), v.grouped()
	return v.inCase(v.one("points earned "+g, "points earned this visit: "+g, "you earned "+g+" points", "+"+g+" pts", "points balance "+g,
		"total points: "+g, "points redeemed "+g, "you earned a $"+p+" reward", "earned $"+p+" gift card", "$"+p+" store credit earned",
		"$"+p+" gift card issued", "reward "+p, "reward expires "+d, "valid through "+d, "spend $"+p+" get $"+v.price(), "save $"+p+" on your next visit",
		"you saved $"+p+" today!", "your total savings: $"+p, "gift card value $"+p, "credit issued "+p, "bonus points "+g, "member since "+v.digits(4),
		"member # "+v.digits(10), "loyalty id "+v.masked(), "fuel points: "+g, "you are "+g+" points from a $"+p+" reward", "next reward at "+g+" pts",
		"use by "+d, "coupon printed: $"+p+" off", "congratulations! $"+p+" earned", "account credit $"+p, "balance after: $"+p, "card balance "+p,
		v.number(9)+" of "+v.number(9)+" punches", "rewards bal: "+p, "offer: buy "+v.number(9)+" get $"+p+" back", "threshold met - "+p, "cash back "+p))
}

// date and clock time in the ways tills write them.
func (v *inventor) date() string {
	m, d, y := 1+v.rng.IntN(12), 1+v.rng.IntN(31), v.rng.IntN(40)
	month := []string{"Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"}[m-1]
	switch v.rng.IntN(9) {
	case 0, 1:
		return fmt.Sprintf("%02d/%02d/%02d", m, d, y)
	case 2, 3:
		return fmt.Sprintf("%02d/%02d/20%02d", m, d, y)
	case 4:
		return fmt.Sprintf("%d/%d/%02d", m, d, y)
	case 5:
		return fmt.Sprintf("20%02d-%02d-%02d", y, m, d)
	case 6:
		return fmt.Sprintf("%s %d, 20%02d", v.inCase(month), d, y)
	case 7:
		return fmt.Sprintf("%02d-%s-%02d", d, v.inCase(month), y)
	}
	return fmt.Sprintf("%02d-%02d-20%02d", m, d, y)
}

func (v *inventor) clock() string {
	h, m, s := v.rng.IntN(24), v.rng.IntN(60), v.rng.IntN(60)
	switch v.rng.IntN(4) {
	case 0:
		return fmt.Sprintf("%02d:%02d", h, m)
	case 1:
		return fmt.Sprintf("%02d:%02d:%02d", h, m, s)
	case 2:
		return fmt.Sprintf("%d:%02d%s", 1+h%12, m, v.one("AM", "PM", "am", "pm", "A", "P"))
	}
	return fmt.Sprintf("%02d:%02d:%02d %s", 1+h%12, m, s, v.one("AM", "PM", "a.m."))
}

func (v *inventor) when() string {
	s := v.one(v.date()+v.one(" ", "  ", "    ")+v.clock(), "Date: "+v.date(), "DATE "+v.date()+" TIME "+v.clock(), v.date(), v.clock()+"  "+v.date(), "Time: "+v.clock(), v.one("Mon", "TUE", "Wed", "THU", "Fri", "SAT", "Sun")+" "+v.date()+" "+v.clock())
	if v.chance(0.35) {
		return v.columnsOf(s, v.one("#"+v.digits(4), v.digits(4)+" "+v.digits(2)+" "+v.digits(4)+" "+v.digits(3), "ST"+v.digits(4)+" TR"+v.digits(4), "Reg "+v.digits(2), "R"+v.digits(2)+" T"+v.digits(4)))
	}
	return s
}

func (v *inventor) head() string {
	street := v.number(9999) + " " + v.brand() + " " + v.one("St", "Ave", "Rd", "Blvd", "Lane", "Hwy", "Dr", "Way", "St.", "Ave.")
	city := v.brand() + v.one("", "ville", "ton", "field", " Falls") + v.one(", ", " ") + v.one("OH", "MI", "TX", "ON", "PA", "NY", "WA", "IL", "MN", "BC") + " " + v.digits(5)
	phone := v.one("("+v.digits(3)+") 555-"+v.digits(4), v.digits(3)+"-555-"+v.digits(4), "TEL "+v.digits(3)+".555."+v.digits(4))
	store := v.brand() + " " + v.one("Market", "Foods", "Grocery", "Mart", "Pharmacy", "Farms", "Hardware", "Pantry", "Store", "Deli", "Fresh", "Outlet", "& Sons")
	return v.inCase(v.one(store, store, street, city, phone, "store #"+v.digits(4), "store: "+v.digits(3)+"  reg: "+v.digits(2), "reg "+v.digits(2)+" tran "+v.digits(5)+" oper "+v.digits(3),
		"cashier: "+v.brand(), "your cashier was "+v.brand(), "ST# "+v.digits(5)+" OP# "+v.digits(6)+" TE# "+v.digits(2)+" TR# "+v.digits(5), "transaction "+v.digits(6), "receipt # "+v.digits(8),
		"invoice no: "+v.digits(7), "order "+v.digits(5), "lane "+v.digits(2)+" self checkout", "manager "+v.brand()+" "+v.brand(), "www."+v.brand()+".example", v.brand()+"@"+v.brand()+".example", "open "+v.clock()+" - "+v.clock(), "table "+v.number(60)+"  guests "+v.number(9), "server: "+v.brand()))
}

func (v *inventor) foot() string {
	return v.inCase(v.one("thank you for shopping with us", "thank you!", "thanks, come again", "please come again", "have a nice day!", "keep your receipt for returns",
		"returns within "+v.number(90)+" days with receipt", "no refunds without receipt", "items sold "+v.number(90), "# items sold "+v.number(90), "item count: "+v.number(90), "number of items: "+v.number(90), "total items "+v.number(90),
		"tell us how we did", "survey code: "+v.digits(4)+"-"+v.digits(4)+"-"+v.digits(4), "take our survey at "+v.brand()+".example", "customer copy", "merchant copy", "*** duplicate ***", "*** reprint ***", "--- end of receipt ---", "all sales final", "see store for details", "we value your opinion.",
		v.name()+" "+v.name(), "hiring now - ask for "+v.brand()+" "+v.brand(), "coupons cannot be combined; limit "+v.number(9)+" per visit.", "not valid with any other offer", "prices include tax where required", "ask about our "+v.word()+" club"))
}

func (v *inventor) numbers() string {
	switch v.rng.IntN(6) {
	case 0:
		return v.digits(1) + " " + v.digits(5) + " " + v.digits(5) + " " + v.digits(1)
	case 1:
		return v.digits(4) + " " + v.digits(4) + " " + v.digits(4) + " " + v.digits(4)
	case 2:
		return v.digits(12 + v.rng.IntN(12))
	case 3:
		return v.one("TC# ", "#", "No. ", "ID: ", "UPC ", "SKU ") + v.code()
	case 4:
		return v.digits(3) + "/" + v.digits(5) + "/" + v.digits(2)
	}
	return v.hex(4) + "-" + v.hex(4) + "-" + v.hex(6)
}

// symbols mixes every character that can stand on a receipt, so that none is
// forgotten.
func (v *inventor) symbols() string {
	var parts []string
	for range 2 + v.rng.IntN(5) {
		var b strings.Builder
		for range 1 + v.rng.IntN(6) {
			switch v.rng.IntN(4) {
			case 0:
				const signs = "*/@%$#&+-():;'\"!?=_[]{}<>~\\|,."
				b.WriteByte(signs[v.rng.IntN(len(signs))])
			case 1:
				b.WriteString(v.digits(1))
			case 2:
				b.WriteByte(byte('A' + v.rng.IntN(26)))
			case 3:
				b.WriteByte(byte('a' + v.rng.IntN(26)))
			}
		}
		parts = append(parts, b.String())
	}
	return strings.Join(parts, " ")
}

func (v *inventor) bareAmount() string {
	return v.amount(v.chance(0.4)) + v.flag()
}

func (v *inventor) rule() string {
	return strings.Repeat(v.one("-", "=", "*", "_", "- ", "* "), 3+v.rng.IntN(24))
}
