package planpage

import (
	_ "embed"
	"html/template"
	"strings"

	"tillproof/plan"
)

//go:embed page.tmpl
var pageText string

var pageTemplate = template.Must(template.New("page").Parse(pageText))

// HTML is the plan as one page without scripts, for a phone or a printer.
func HTML(p *plan.Plan, b *plan.Bill) (string, error) {
	var out strings.Builder
	err := pageTemplate.Execute(&out, newView(p, b))
	return out.String(), err
}
