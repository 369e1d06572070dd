package intake

import (
	"regexp"
	"strings"
)

// Browsers print the moment of printing above a page and its address and number
// below it: neither is part of the receipt, and the date is not the receipt's.
var (
	printedAt   = regexp.MustCompile(`^\d{1,4}[/.-]\d{1,2}[/.-]\d{2,4},? +\d{1,2}:\d{2}( ?[AaPp]\.?[Mm]\.?)?( .*)?$`)
	printedFrom = regexp.MustCompile(`^\S+://.* \d+/\d+$`)
)

// withoutPrintMarks is the text of a page without what a browser printed above
// and below it. Only where both are there are they taken for that.
func withoutPrintMarks(text string) string {
	lines := strings.Split(strings.TrimRight(text, "\n"), "\n")
	first, last := 0, len(lines)-1
	for first < last && strings.TrimSpace(lines[first]) == "" {
		first++
	}
	if first >= last || !printedAt.MatchString(strings.TrimSpace(lines[first])) || !printedFrom.MatchString(strings.TrimSpace(lines[last])) {
		return text
	}
	return strings.Trim(strings.Join(lines[first+1:last], "\n"), "\n") + "\n"
}
