package planpage

import (
	"fmt"
	"strings"

	"tillproof/plan"
)

// Markdown is the plan as a text to publish: CommonMark, with task lists and
// tables as most readers of it have them.
func Markdown(p *plan.Plan, b *plan.Bill) string {
	v := newView(p, b)
	m := &markdown{}
	m.line("# %s", v.Title)
	m.blank()
	if v.Day != "" {
		m.line("%s", v.Day)
		m.blank()
	}
	seen := v.Seen
	if v.Currency != "" {
		seen += " Amounts in " + v.Currency + "."
	}
	m.line("%s", seen)
	if len(v.Warnings) > 0 {
		m.heading("Look at these first")
		for _, w := range v.Warnings {
			m.line("- %s", w)
		}
	}
	m.heading("What it costs")
	m.table(v.Totals)
	m.shopping(v)
	for i := range v.Transactions {
		m.till(&v.Transactions[i])
	}
	m.comesBack(v)
	m.blank()
	m.line("“In the end” counts, of each item, its share of everything that comes off and comes back, without tax and fees.")
	m.blank()
	m.line("Prices and offers differ from shop to shop and change: look at the shelf and at the offer’s own terms before you rely on a sum. Write what differs for you into a plan file of your own, and lay it over this plan with `--mine`.")
	return m.String()
}

// markdown writes lines in which the plan's own words say nothing but themselves.
type markdown struct{ strings.Builder }

// line writes a line; the arguments are text, and escaped.
func (m *markdown) line(format string, args ...any) {
	for i, a := range args {
		if s, ok := a.(string); ok {
			args[i] = escape(s)
		}
	}
	fmt.Fprintf(m, format+"\n", args...)
}

func (m *markdown) blank() { m.WriteByte('\n') }

func (m *markdown) heading(text string) {
	m.blank()
	m.line("## %s", text)
	m.blank()
}

var escaper = strings.NewReplacer(`\`, `\\`, "`", "\\`", "*", `\*`, "_", `\_`, "[", `\[`, "]", `\]`, "<", `\<`, ">", `\>`, "|", `\|`, "~", `\~`, "#", `\#`, "&", `\&`)

func escape(s string) string { return escaper.Replace(s) }

func (m *markdown) table(rows []row) {
	m.line("| What | Amount |")
	m.line("| --- | ---: |")
	for _, r := range rows {
		text := escape(r.Text)
		if r.Strong {
			text = "**" + text + "**"
		}
		for _, s := range r.Steps {
			text += "<br>" + escape(s)
		}
		m.WriteString("| " + text + " | " + r.Amount + " |\n")
	}
}

func (m *markdown) shopping(v *view) {
	m.heading("Shopping list")
	for i, a := range v.Aisles {
		if a.Name != "" {
			if i > 0 {
				m.blank()
			}
			m.line("### %s", a.Name)
			m.blank()
		}
		for _, s := range a.Items {
			m.line("- [ ] %s %s: %s, %s%s", s.Amount, s.Name, s.Price, s.From, after("; for ", s.For))
		}
	}
	if len(v.Bring) == 0 {
		return
	}
	m.heading("Coupons and offers to have ready")
	for _, c := range v.Bring {
		note := ""
		if c.Note != "" {
			note = " (" + c.Note + ")"
		}
		m.line("- [ ] %s: %s%s%s", c.Title, c.Do, note, after(". Its terms: ", c.Terms))
	}
}

func after(prefix, s string) string {
	if s == "" {
		return ""
	}
	return prefix + s
}

func (m *markdown) till(tx *transaction) {
	m.heading("At the till: " + tx.Name + after(", ", tx.Day))
	if len(tx.Ready) > 0 {
		m.line("Have ready:")
		m.blank()
		for _, r := range tx.Ready {
			m.line("- %s", r)
		}
		m.blank()
	}
	m.line("Pay with: %s", tx.Pay)
	m.blank()
	var rows []row
	for _, l := range tx.Lines {
		rows = append(rows, row{Text: l.Amount + " " + l.Name, Amount: l.Price, Steps: l.Steps})
		for _, o := range l.Off {
			o.Text = "– " + o.Text
			rows = append(rows, o)
		}
		end := "in the end " + l.PerUnit + after("; ", l.StockUp)
		if l.Left != "" {
			rows = append(rows, row{Text: "– left", Amount: l.Left, Steps: []string{end}})
		} else {
			last := &rows[len(rows)-1]
			last.Steps = append(append([]string{}, last.Steps...), end)
		}
	}
	for _, r := range tx.Basket {
		r.Text += ", off the basket"
		rows = append(rows, r)
	}
	m.table(append(rows, tx.Sums...))
}

func (m *markdown) comesBack(v *view) {
	if len(v.Back) > 0 {
		m.heading("What comes back, and when")
		for _, b := range v.Back {
			m.line("- [ ] %s: %s, %s%s", b.Title, b.Value, b.When, after("; paid by ", b.Who))
			for _, s := range b.Steps {
				m.line("  - %s", s)
			}
		}
	}
	if len(v.Toward) > 0 {
		m.heading("Adds up over several trips")
		for _, t := range v.Toward {
			m.line("- %s", t)
		}
	}
}
