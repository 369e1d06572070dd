package parse

import "strings"

// marks are what the words of a line say it may be. Several may be set; the
// place of the line and its amount decide (classify.go).
type marks uint64

const (
	markSubtotal marks = 1 << iota
	markTotal
	markNet      // without tax
	markTax      // a tax
	markTaxInfo  // about tax, no amount of tax: a number, a taxable amount
	markIncluded // tax that the prices include
	markTender
	markTendered // what was handed over, of which change is given
	markChange
	markCount     // how many items
	markSaved     // savings: of a sale, or added up
	markYouSaved  // savings told to the customer, in the past tense
	markCoupon    // a coupon, offer or discount
	markWeak      // a word of offers that names of goods have too
	markOff       // "off", which needs an amount or percentage
	markEarned    // a reward was given
	markReward    // what rewards are: gift card, points, credit
	markPoints    // points
	markVoid      // taken back
	markRefund    // goods brought back
	markFee       // deposits and charges
	markDeposit   // for the container of the goods above
	markTip       // a gratuity
	markRounding  // to the smallest coin
	markBalance   // the state of an account or card
	markPrice     // a price told beside the one that is charged
	markSlip      // about the card that paid
	markCondition // could, if: nothing was given
	markFuture    // next, earn, spend: what may be given another time
	markDate
	markExpires // the date after it is no date of the sale
	markRegister
	markTransaction
	markMessage // greetings
	markSummary // heads a table of amounts that are in no sum
	markSuggested
	markOwn   // one of the store's own words
	markAfter // after, less: of a total, what it is after
	markQuantity
	markNetTotal // a total, or with a tax below it what the tax is added to
	markTotalQty // TOTAL QTY, beside which the sum of the items may stand
)

// Tender kinds as the result format names them.
const (
	tenderCard        = "card"
	tenderCash        = "cash"
	tenderGiftCard    = "gift card"
	tenderPoints      = "points"
	tenderStoreCredit = "store credit"
	tenderCheck       = "check"
	tenderOther       = "other"
)

// phrases are the words tills print, by what they say. Phrases are divided by
// a bar; the longest that fits is taken, so that GIFT CARD BALANCE is not a
// GIFT CARD.
var phrases = []struct {
	marks  marks
	tender string
	texts  string
}{
	{markSubtotal, "", "subtotal|mdse st|sub total|sub ttl|subttl|subtl|sub tot|subtot|sub tl|s total|sub w tax|sbtl w tax|sbtl|subtotal w tax|subtotal with tax|sub total w tax|total before tax|pre tax total|merchandise total|goods total|goods|merchandise|gross total|gross amount|sum of goods|value of goods|goods value|before tax|pre tax|pretax|articles total|total goods|amount before tax|basket|basket total|items total|total of items|mdse total|merch total|merch subtotal|merchandise subtotal|mdse subtotal|goods subtotal|order subtotal|sale subtotal|items subtotal|item total|sum of items|product total|products total|groceries total|shelf total|subtotal before tax|total pre tax|purchases total|basket value|cart subtotal|adjusted subtotal|new subtotal|net subtotal|discounted subtotal|reduced subtotal|subtotal 2|revised subtotal|adj subtotal"},
	{markTotal, "", "total|ttl|totl|totale|totaal|grand total|balance due|bal due|amount due|amt due|total due|due total|to pay|balance to pay|balance|total sale|total sales|sale total|total payable|amount payable|net amount|nett amount|total amount|pay this amount|total to pay|order total|bill total|check total|purchase total|total purchase|due|amount owed|balance owed|total after tax|total with tax|nett|jumlah|total bill|tot|grandtotal|grand ttl|invoice total|pay|please pay|to be paid|amount to pay|now due|payable|you pay us|sum total|grand sum|final total|net due|net to pay|all in all|total price|final amount|sum due|owing|amount owing|total this visit|total this sale|total this trip|total this order|todays total|your total|total for today|total payment due|payment due|total payment required|total owed|total owing|owed|sale amount|total sale amount|transaction total|trans total|total transaction|ticket total|receipt total|checkout total|total charge|total charged|total charges|total usd|due today|due now|due from you|amount payable now|total now due|balance now due|left to pay|remaining due|still due|still to pay|rest to pay|remaining to pay|adjusted total|new total|revised total|to be paid now|you owe|pay now|pay today|sum to pay|total cost|total this purchase"},
	{markTotal | markCoupon, "", "coupons together|cpns together|all deducted|deducted in all|all coupons|coupons in all|discounts together|offers together|deals together"},
	{markTotal | markNetTotal, "", "net|gross|sum|net total|nett total|amount|total w o tax"},
	{markTotal | markIncluded, "", "total incl|total inclusive|total incl tax|total inclusive of gst|total inclusive of tax|total incl gst|total including tax|total tax incl|total sales incl|total sales inclusive|total incl of gst"},
	{markNet, "", "h t tva|ht tva|total ht|h t|total excl|total excluding|total excluding gst|total excl gst|total excluding tax|total excl tax|excl gst|excluding gst|excluding tax|net sales|total sales excl|total sales excluding|excl tax|before gst|amount before tax|exclusive of gst|exc gst"},
	{markTax | markTotal, "", "all taxes|taxes total|total of taxes|sum of taxes|tax sum|combined taxes|taxes in all|total tax|total sales tax|tax total|total gst|total taxes|total vat"},
	{markTax, "", "tax|ax|taxes|tax due|tax added|plus tax|add tax|tax on sale|tax on goods|state sales tax|local sales tax|st tax|sls tax|tax charged|tax to pay|sales and use tax|combined tax|sales tax|state tax|local tax|city tax|county tax|food tax|gst|hst|pst|qst|vat|sst|iva|tva|mwst|service tax|tx|sales tx|gst amount|tax amount|gst payable|pb1|ppn|pajak|tax1|tax2|tax3|tax4|taxa|taxb|salestax|sales tax1|sales tax2|tax 1|tax 2|tx1|tx2"},
	{markTax | markIncluded, "", "dont tva|tva incluse|total includes|total include|includes gst|includes tax|bill inclusive|bill inclusive of"},
	{markTaxInfo, "", "taxable|non taxable|nontaxable|tax exempt|tax id|tax invoice|tax reg|gst reg|gst id|gst no|vat no|vat reg|vat id|tax code|tax no|taxable amount|taxable total|taxable subtotal|tax free|gst tin|gst registration|tax class|simplified tax invoice|zero rated|nontax|no tax|tax key|gst number|sst id|sst no|sst reg"},
	{markTaxInfo | markSummary, "", "gst summary|tax summary|vat summary|gst analysis|tax analysis|tax breakdown|gst tax summary|sst summary|gst details|tax detail"},
	{markIncluded, "", "incl|included|includes|inclusive|including|incl gst|incl tax|inclusive of|inc|tax incl|gst incl|gst inc|vat incl|tax included|gst included|included in price"},
	{markTender, tenderCash, "cash|currency|csh|bills and coins|bills coins|notes coins|coins bills|bills|notes and coins|coins and bills|cash amt|cash in|cash tender|cash tend|cash paid|cash payment|paid cash|tunai"},
	{markTender, tenderCard, "card|credit|debit|credit card|debit card|credit tender|debit tender|card payment|bank card|contactless|charge|credit tend|debit tend|card tender|chip card|bankcard|card sale|paid by card|credit sale|paid card|card tend|debit tend|payment card|ebt|snap|mobile pay|wallet|credit card payment|card amount|card total|card charge|eft|eftpos|pos debit|pin debit|cc|cr card|electronic payment|payment by card|card pmt|pmt card|tap to pay|charged to card|pay card|plastic|by card|paid plastic|card payment made"},
	{markTender, tenderCheck, "check|cheque|check tend|check tender|personal check"},
	{markTender | markReward, tenderGiftCard, "gift card|giftcard|gift cert|gift certificate|gift crd|gft card|gift cd|gc|e gift card|egift card|gift cards"},
	{markTender, tenderGiftCard, "gift card tender|gift card tend|gift card redeemed|gift card payment|paid gift card|gift card used|gift card paid|gift card redemption|gc tender|gc tend"},
	{markTender | markReward, tenderStoreCredit, "mdse credit|mdse cr|store credit|merchandise credit|merch credit|str credit|store cr|st cr|st credit|str cr|shop credit"},
	{markTender, tenderStoreCredit, "store credit tender|store credit tend|st cr tend|st cr tender|store cr tend|store cr tender|store credit used|store credit redeemed|store credit applied|paid store credit"},
	{markTender | markReward | markPoints, tenderPoints, "points|pts|loyalty points|reward points|point|bonus points|bonus pts|rewards points"},
	{markTender, tenderPoints, "points redeemed|points used|points tender|redeemed points|pts redeemed|points payment|paid with points|points tend|points applied|loyalty redemption"},
	{markTender, tenderOther, "tender|payment|paid|amount paid|amt paid|voucher|total paid|total payment|payments|bayar|settlement"},
	{markTender | markTendered, tenderOther, "tendered|amount tendered|amount given|cash given|you gave|given by you|handed over|cash handed over|cash from you|cash from customer|amt tendered|total tendered|total tender|received|amount received|payment received|cash received|paid amount|cash tendered"},
	{markChange, "", "change|change due|handed back|handed back to you|paid out to you|paid out|coins and notes out|notes and coins out|cash change|your change|chg|change given|chng|cg|chang|chnge|change amount|total change|change cash|kembali|kembalian|change returned|cash back|chg due|back to you|money back|cash returned|given back|your change back|paid back|returned to you|returned to member|returned to customer|change back|back|change to you|change due to you|due you|owed to you|owed you|change out|change given back|money returned|return to customer|due to customer|due back|change returned to you|customer change|give change|change from cash|change to give|cash to customer"},
	{markCount, "", "items|item count|items sold|no of items|number of items|total items|items purchased|total number of items|total number of items sold|number of items sold|units|units sold|total units|item sold|count|total item|items bought|item|total item count|total articles|articles|pieces|pieces sold|pieces bought|units bought|articles bought|pcs|pcs sold|pieces total|number of pieces|number of articles|item s|items total"},
	{markCount | markQuantity, "", "qty|quantity"},
	{markCount | markTotalQty, "", "total qty|total quantity|tot qty|qty total|total no of items|tot items"},
	{markTotal | markCoupon, "", "total off|total deductions|total taken off|total reductions|deductions total|total discounts|discounts total|total offers|offers total|total deals|deals total|total coupons|coupons total|coupon total|sum of coupons|sum of discounts|total coupons and discounts|total discounts and coupons|discount total|all coupons|all offers|all discounts|all deals|all deductions|offers and coupons total|total coupon savings"},
	{markSaved, "", "savings|saving|sale savings|card savings|member savings|total savings|club savings|save|saves|price reduction|reduced|reduction|markdown|mark down|sale discount|sale price savings|sale adj|sale adjustment|advertised savings|multi savings|multi buy savings|multibuy|tpr|tpr off|tpr off reg|off reg|marked down|price adjust|price adj|price adjustment|ad price adj|instant savings|inst savings|instant discount|price drop|price cut|temp price cut|shelf savings|tag savings|ad savings|card price savings|loyalty savings|everyday savings|sale saved|sale disc|special savings|low price savings|off regular|rabais|special rabais"},
	{markSaved | markYouSaved, "", "you saved|saved|you save|your savings|total saved|you saved today|your savings today|today you saved|you have saved|total savings today|savings today|your total savings|total you saved|savings total|savings summary"},
	{markCoupon, "", "coupon|coupons|cpn|cpns|coup|coupn|mfr cpn|mfr coupon|mfg coupon|mfg cpn|store cpn|store coupon|str cpn|discount|discounts|dscnt|discnt|deduction|app offer|store offer|digital offer|digital coupon|digital cpn|app coupon|app deal|loyalty offer|e coupon|ecoupon|instant rebate|manufacturer coupon|manuf cpn|vendor coupon|vendor cpn|vend cpn|vcpn|scpn|mcpn|paper coupon|app cpn|loyalty cpn|price match|diskon|loyalty discount|percent off|member offer|card offer|cpn amt|clipped coupon|clipped offer|basket coupon|basket offer|basket discount|order discount|order coupon|trip coupon|total purchase cpn|total purchase coupon|purchase coupon|ad coupon|in ad coupon|mail coupon|flyer coupon|leaflet coupon|mobile coupon|phone offer|phone coupon|virtual coupon|virtual cpn|online coupon|online cpn|ecpn|e cpn|personal offer|saved to card|load to card|loaded to card|manu cpn|man cpn|mfgr cpn|mfr offer|brand coupon|brand cpn|supplier coupon|supplier cpn|producer coupon|national coupon|national cpn|scanned coupon|multi save|multisave|bundle savings|bundle deal|combo savings|mix and match|mix n match|threshold offer|spend and save"},
	{markCoupon | markWeak, "", "promo|promotion|offer|deal|mfr|mfrs|rebate|allowance|comp|disc|reward offer|special"},
	{markOff, "", "off"},
	{markEarned, "", "earned|issued|awarded|you earned|you have earned|youve earned|granted|you received|loaded|reward earned|rewards earned|added to card|added to your card|you got|earned today|has been added|has been put|has been placed|has been credited|was added|was put|been put on your|you have received|you receive|you will receive|won"},
	{markReward, "", "reward|rewards|bonus|bucks|reward card|promo gift card|gift card reward|promotional gift card|store reward|register reward|cash reward"},
	{markReward | markEarned, "", "gift card earned|store credit earned|credit earned|gift card issued|reward issued|store credit issued"},
	{markReward | markEarned | markPoints, "", "points earned|points awarded|pts earned|earned points|earned pts|points added"},
	{markVoid, "", "void|backed out|taken back|corr|correction|corrected|voided|vd|voids|rev|canc|cncl|undo|undone|reverse|remove|taken out|took out|taken off sale|error corr|err corr|err correct|line correct|last item void|previous item void|item removed|item cancelled|item canceled|removed from sale|void sale item|void item|item void|void entry|cancelled|canceled|cancel|error correct|item correct|correction|reversed|reversal|line void|deleted|removed|void line|entry below canceled|entry below cancelled|entry below voided|line below voided|item below voided|entry canceled|entry cancelled|entry voided|voided item|voided entry|cancellation|rescinded"},
	{markRefund, "", "refund|return|returned|refunded|return item|refund item|returns|refund total|merchandise return|total refund|refund due|returned item"},
	{markFee | markDeposit, "", "deposit|dep|crv|bottle deposit|bottle dep|btl dep|bottle rtn value|bottle return value|btl charge|btl chg|btl fee|btl deposit|container deposit|can deposit|can dep|ctr dep|bottle refund value|redemption value|container fee|returnable bottle|returnable bottles|returnable container|returnable|redemption val|bottle fee|bottle charge|empties|empties deposit|container dep|cont dep|beverage deposit|bev container|bev deposit|refundable deposit|return deposit|enviro fee|recycle fee|redemption fee|eco charge|dep charge|deposits|deposits and fees|deposits and eco fees|bottle deposits|container deposits|can deposits|eco fees|eco and deposit|recycling fees|container fees|dep charge|deposit charge|bottle can deposit|eco fee|recycling fee"},
	{markFee, "", "fees|env fee|env fees|enviro fees|environmental fees|environment fee|bag fees|fee|bag charge|bag fee|bag chg|service charge|serv charge|svc charge|srv charge|service chg|svc chg|surcharge|delivery|delivery fee|delivery charge|environmental fee|packing charge|handling fee|carrier bag|svc fee|service fee|bag tax|svr charge"},
	{markTip, "", "tip|tips|gratuity|grat|tip amount|auto gratuity|added tip|auto grat|add tip"},
	{markSuggested, "", "suggested|suggested tip|suggested tips|suggested gratuity|tip guide|recommended tip|tip suggestions|gratuity guide|tip guidelines|gratuity suggestions|suggested gratuities|tip calculator|your convenience"},
	{markRounding, "", "cents adjustment|cents adj|cent adjustment|cash adjustment|cash adj|rounding|round|rounded|rounding adj|rounding adjustment|round adj|rounding adjust|cash rounding|penny rounding|coin rounding|nickel rounding|cent rounding|rnd adj|round off|rounding diff|roundg|pembulatan|rnd|nickel adj|nickel adjustment|penny adj|penny adjustment|coin adj|coin adjustment|to nearest nickel|nearest nickel"},
	{markTotal | markRounding, "", "total rounded|rounded total|total after rounding|total after adj|total after rounding adj|total rounding"},
	{markBalance, "", "points on account|pts on account|reward pts on account|reward points on account|points so far|pts so far|points balance|point balance|balance remaining|remaining balance|card balance|gift card balance|new balance|previous balance|remaining|available|points available|points total|total points|account balance|balance available|ending balance|points to date|year to date|current balance|current points|prev balance|opening balance|closing balance|pts balance|balance pts|balance points|store credit balance|lifetime|available points|bal remaining|remaining bal|balance left"},
	{markPrice, "", "reg price|regular price|ticket says|tag says|label says|ticket price|tag price|label price|reg|was|orig price|original price|unit price|shelf price|list price|sale price|your price|member price|card price|you pay|price you pay|item comes to|comes to|which leaves|price|each|price each|retail|retail price|was price|final price|net price|reg prc|special price|orig|now|sale|usually|ordinarily|ordinary price|without card|without club card|without your card|w o card|usual price|normally|normal price|normal|list|list price|before|without sale|instead of|compare at|regularly|rrp|full price|old price|everyday price|non member price|standard price|std price|elsewhere"},
	{markSlip, "", "auth|approval|approved|appr|appr code|aid|tvr|tsi|entry method|card num|card no|card number|acct|account|account no|acct no|ref no|reference|trace|terminal id|merchant|merchant id|seq|seq no|chip read|pin verified|signature|customer copy|merchant copy|auth code|authorization|auth no|card type|entry|tid|mid|approval code|swipe|swiped|chip|exp date|usd|purchase amount|amount charged|purchase|x|sign|card entry|contactless read|card ending|ending in|acct num|response|batch|auth amount|base amount|sale amount"},
	{markCondition, "", "for each|for every|could|would|if|unless|away from|more to|until you|more needed|could have|would have|missed|minimum|not earned|ask|only needed|short of"},
	{markFuture, "", "next|earn|spend|get|redeem|collect|next time|next visit|next purchase|next trip|chance|enter|visit us|towards|toward|tomorrow"},
	{markDate, "", "date|dated|date time|time|sale date|dt"},
	{markExpires, "", "exp|expires|expire|expiry|valid|through|thru|until|use by|submit by|redeem by|good through|valid thru|valid through|expires on|best before|claim by|by|from|return by|returns by|refund by|valid until|ends|offer ends"},
	{markRegister, "", "register|till|lane|terminal|term|pos|station|checkout|reg no|register no|till no|lane no|terminal no|pos no|term no|checkout no|reg num|rgstr|counter"},
	{markTransaction, "", "trans|transaction|tran|trn|trx|txn|trans no|transaction no|trans num|receipt no|rcpt|rcpt no|receipt|invoice|inv|inv no|invoice no|bill no|check no|chk|order|order no|doc no|ticket|ticket no|slip no|tkt|tkt no|sale no|tc|transaction id|trans id|receipt number|transaction number|order number|invoice number|check number|trans number|receipt num|bill|bil no|cash inv no|document no|chk no|rec no|rec|tr|trans nbr"},
	{markMessage, "", "thank|thanks|thank you|welcome|please|visit|have a|come again|see you|enjoy|tell us|survey|feedback|follow us|questions|comments|happy|goods sold|refundable|exchange|good day"},
	{markAfter, "", "after|less|after savings|after coupons|after discount|after discounts|after offers|less coupons|less discounts|less savings"},
}

// fillers are words that say nothing by themselves and do not make a line of
// total, tax or tender into something else.
const fillers = "sls amount amt rm usd us of the sale sales and for to pay this your you with in on by no num number rate today order purchase member a an at is total sum basket trip customer items goods was were been be has have it all are here store shop price prices applied pcs eur cad gbp aud myr idr rp sgd value val subtotal local state city county food general non grocery prepared club base nbr net gross visit main via last previous next below above entry line following only percent pct food beverage bev liquor alcohol t x f eat in dine out takeout take away cust copy mode by our we state/local sr zr zrl os tax1 tax2 tendered due"

// wordIndex finds phrases by their first word, both folded.
type wordIndex struct {
	byFirst map[string][]phrase
	known   map[string]bool
	// long are the words worth finding in a misread one.
	long []string
	// goods are words that are no misread one of those.
	goods map[string]bool
}

// goodsWords are what goods are called that stands a letter or two from a word that
// tills use: ground coffee is no rounding, and chicken tenders pay for nothing.
const goodsWords = "ground pound pounds rounds whipped penne honey tissues storage shaving matches chuck chick tenders patties grated roasted classic crouton croutons dates bowties pints paint shirt ember totes bells ballet mallet stove loyal"

// phrase is one entry of a wordIndex: its words after the first.
type phrase struct {
	rest   []string
	marks  marks
	tender string
}

var commonWords = newWordIndex()

func newWordIndex() *wordIndex {
	x := &wordIndex{byFirst: map[string][]phrase{}, known: map[string]bool{}, goods: map[string]bool{}}
	for _, w := range strings.Fields(goodsWords) {
		x.goods[fold(w)] = true
	}
	for _, p := range phrases {
		for _, text := range strings.Split(p.texts, "|") {
			x.add(text, p.marks, p.tender)
		}
	}
	for _, w := range strings.Fields(fillers) {
		x.known[fold(w)] = true
	}
	for w := range x.known {
		if len(w) >= 5 {
			x.long = append(x.long, w)
		}
	}
	return x
}

// add enters text, longest phrases of the same first word first.
func (x *wordIndex) add(text string, m marks, tender string) {
	words := foldWords(text, nil)
	if len(words) == 0 {
		return
	}
	for _, w := range words {
		x.known[w] = true
	}
	list := append(x.byFirst[words[0]], phrase{words[1:], m, tender})
	for i := len(list) - 1; i > 0 && len(list[i].rest) > len(list[i-1].rest); i-- {
		list[i], list[i-1] = list[i-1], list[i]
	}
	x.byFirst[words[0]] = list
}

// ownMarks are the marks of the store's own words, by their key.
var ownMarks = map[string]struct {
	marks  marks
	tender string
}{
	"coupon":      {markCoupon | markOwn, ""},
	"store offer": {markCoupon | markOwn, ""},
	"credit":      {markReward | markEarned | markOwn, ""},
	"gift card":   {markReward | markTender | markOwn, tenderGiftCard},
	"points":      {markReward | markPoints | markTender | markOwn, tenderPoints},
	"void":        {markVoid | markOwn, ""},
	"subtotal":    {markSubtotal | markOwn, ""},
	"tax":         {markTax | markOwn, ""},
	"total":       {markTotal | markOwn, ""},
	"items":       {markCount | markOwn, ""},
}

// newOwnWords makes an index of a store's own words, nil for none.
func newOwnWords(words Words) *wordIndex {
	x := &wordIndex{byFirst: map[string][]phrase{}, known: map[string]bool{}, goods: map[string]bool{}}
	for _, w := range strings.Fields(goodsWords) {
		x.goods[fold(w)] = true
	}
	for key, texts := range words {
		own, ok := ownMarks[strings.ToLower(strings.TrimSpace(key))]
		for _, text := range texts {
			if !ok {
				continue
			}
			m, tender := own.marks, own.tender
			if common := mark(foldWords(text, nil), nil, nil); m&markReward != 0 && common.marks&markEarned != 0 {
				m, tender = m&^markTender|markEarned, "" // "GC EARNED" never pays
			}
			x.add(text, m, tender)
		}
	}
	if len(x.byFirst) == 0 {
		return nil
	}
	return x
}
