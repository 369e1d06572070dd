package intake

import (
	"bytes"
	"encoding/base64"
	"errors"
	"fmt"
	"mime/quotedprintable"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
)

// crlf gives a message the line ends of RFC 5322.
func crlf(s string) []byte { return []byte(strings.ReplaceAll(s, "\n", "\r\n")) }

const head = "From: Harbor Lane Market <till@harbor-lane.example>\nTo: shopper@home.example\n" +
	"Subject: Your receipt\nDate: Sat, 9 May 2026 10:15:00 -0400\nMIME-Version: 1.0\n"

// part is one part of a multipart message; data is written in base64 where the
// head says so.
type part struct{ head, body string }

func multipart(kind string, parts ...part) part {
	mark := fmt.Sprintf("=_%d_%d", len(parts), len(kind)+len(parts[0].body))
	var b strings.Builder
	for _, p := range parts {
		body := p.body
		if strings.Contains(p.head, "base64") {
			body = wrapped(body)
		}
		fmt.Fprintf(&b, "--%s\n%s\n\n%s\n", mark, p.head, body)
	}
	fmt.Fprintf(&b, "--%s--\n", mark)
	return part{fmt.Sprintf("Content-Type: multipart/%s; boundary=%q", kind, mark), b.String()}
}

func wrapped(data string) string {
	s := base64.StdEncoding.EncodeToString([]byte(data))
	var b strings.Builder
	for len(s) > 76 {
		b.WriteString(s[:76] + "\n")
		s = s[76:]
	}
	return b.String() + s
}

func mailOf(p part) []byte { return crlf(head + p.head + "\n\n" + p.body) }

func file64(kind, name, data string) part {
	return part{fmt.Sprintf("Content-Type: %s; name=%q\nContent-Disposition: attachment; filename=%q\nContent-Transfer-Encoding: base64", kind, name, name), data}
}

var (
	plain    = part{"Content-Type: text/plain; charset=utf-8", receipt}
	covering = part{"Content-Type: text/plain; charset=utf-8", "Hello,\nyour receipt for 8.08 is attached.\n"}
	rich     = part{"Content-Type: text/html; charset=utf-8", "<html><head><title>No 1</title></head><body><table>" +
		"<tr><td>HARBOR LANE MARKET</td></tr><tr><td>OATS</td><td>4.29</td></tr>" +
		"<tr><td>JAM</td><td>3.79</td></tr><tr><td>TOTAL</td><td>8.08</td></tr></table></body></html>"}
)

const richText = "HARBOR LANE MARKET\nOATS    4.29\nJAM    3.79\nTOTAL    8.08"

func lineFeeds(parts []Part) []Part {
	for i := range parts {
		parts[i].Text = strings.ReplaceAll(parts[i].Text, "\r\n", "\n")
	}
	return parts
}

func TestMailText(t *testing.T) {
	body := strings.TrimRight(receipt, "\n")
	var qp bytes.Buffer
	w := quotedprintable.NewWriter(&qp)
	_, _ = w.Write([]byte("B\xe4ckerei\nBROT   2,49\nBR\xd6TCHEN   1,20\nSUMME   3,69\n"))
	_ = w.Close()
	for _, c := range []struct {
		why  string
		p    part
		want string
	}{
		{"text alone", plain, body},
		{"no type is text", part{"X-Till: 4", receipt}, body},
		{"the plain form is taken before the other", multipart("alternative", plain, rich), body},
		{"HTML alone", rich, richText},
		{"HTML, where the plain form only says so", multipart("alternative", part{"Content-Type: text/plain", "Please look at the HTML form."}, rich), richText},
		{"HTML with pictures of its own beside it", multipart("alternative", part{"Content-Type: text/plain", ""}, multipart("related", rich)), richText},
		{"base64", part{"Content-Type: text/plain; charset=utf-8\nContent-Transfer-Encoding: base64", wrapped(receipt)}, body},
		{"Latin-1, quoted-printable", part{"Content-Type: text/plain; charset=iso-8859-1\nContent-Transfer-Encoding: quoted-printable", qp.String()},
			"Bäckerei\nBROT   2,49\nBRÖTCHEN   1,20\nSUMME   3,69"},
		{"Central European", part{"Content-Type: text/plain; charset=windows-1250", "CHLEB \xbfytni 4,50\nRAZEM 4,50\n"}, "CHLEB żytni 4,50\nRAZEM 4,50"},
		{"no character set told, and not UTF-8", part{"Content-Type: text/plain", "CAF\xc9 4,50\nTOTAL \x80 4,50\n"}, "CAFÉ 4,50\nTOTAL € 4,50"},
		{"a character set that nobody knows", part{"Content-Type: text/plain; charset=x-till-9", receipt}, body},
		{"forwarded, with marks before the lines", part{"Content-Type: text/plain", "> > " + strings.ReplaceAll(body, "\n", "\n> > ")}, body},
		{"forwarded as a whole", multipart("mixed", part{"Content-Type: text/plain", "See below."},
			part{"Content-Type: message/rfc822", head + plain.head + "\n\n" + plain.body}), body},
		{"a signature beside it", multipart("signed", plain, part{"Content-Type: application/pkcs7-signature\nContent-Transfer-Encoding: base64", "\x30\x80"}), body},
	} {
		for _, name := range []string{"a.eml", "-", "a.txt"} {
			got := lineFeeds(open(t, name, mailOf(c.p)))
			if diff := cmp.Diff([]Part{{Text: c.want, Name: "the message"}}, got); diff != "" {
				t.Errorf("%s (%s):\n%s", c.why, name, diff)
			}
		}
	}
	mailbox := append([]byte("From till Sat May  9 10:15:00 2026\n"), mailOf(plain)...)
	if got := lineFeeds(open(t, "a.eml", mailbox)); len(got) != 1 || got[0].Text != body {
		t.Errorf("from a mailbox: %q", got)
	}
	if got := open(t, "a.eml", []byte("Subject: x\n\nTOTAL 5.00\n")); got[0].Text != "TOTAL 5.00" {
		t.Errorf("a short head, under the name of an e-mail: %q", got)
	}
}

func TestMailAttachments(t *testing.T) {
	photo := string(jpegOf(t, 600, 900))
	logo := string(pngOf(t, 120, 40))
	bill := string(pdfOf(bill("F1")))
	terms := string(pdfOf(printed("F1", "20 300", "TERMS AND CONDITIONS")))
	billText := open(t, "a.pdf", []byte(bill))[0].Text
	embedded := part{"Content-Type: image/png\nContent-ID: <logo>\nContent-Transfer-Encoding: base64", string(pngOf(t, 600, 120))}
	inline := part{"Content-Type: image/jpeg\nContent-ID: <photo>\nContent-Disposition: inline\nContent-Transfer-Encoding: base64", photo}
	for _, c := range []struct {
		why     string
		p       part
		want    []Part
		remarks string
	}{
		{"two photos, in order", multipart("mixed", covering, file64("image/jpeg", "top.jpg", photo), file64("application/octet-stream", "bottom.jpg", photo)),
			[]Part{{Photo: []byte(photo), Name: "attachment top.jpg"}, {Photo: []byte(photo), Name: "attachment bottom.jpg"}}, ""},
		{"a photo within the text", multipart("related", covering, inline), []Part{{Photo: []byte(photo), Name: "attachment of type image/jpeg"}}, ""},
		{"a PDF, and the terms", multipart("mixed", covering, file64("application/pdf", "bill.pdf", bill), file64("application/pdf", "terms.pdf", terms)),
			[]Part{{Text: billText, Name: "attachment bill.pdf"}}, ""},
		{"a logo is no receipt", multipart("related", plain, embedded, file64("image/png", "l.png", logo)),
			[]Part{{Text: strings.TrimRight(receipt, "\n"), Name: "the message"}}, ""},
		{"the text is the receipt, the PDF its copy", multipart("mixed", plain, file64("application/pdf", "bill.pdf", bill)),
			[]Part{{Text: strings.TrimRight(receipt, "\n"), Name: "the message"}}, "bill.pdf was left out: the message itself is a receipt"},
		{"the text only sums up what the PDF lists", multipart("mixed", part{"Content-Type: text/plain", "Subtotal 8.08\nTotal 8.08\n"}, file64("application/pdf", "bill.pdf", bill)),
			[]Part{{Text: billText, Name: "attachment bill.pdf"}}, ""},
		{"text as a file", multipart("mixed", covering, file64("text/plain", "receipt.txt", receipt)), []Part{{Text: receipt, Name: "attachment receipt.txt"}}, ""},
		{"a HEIC photo", multipart("mixed", covering, file64("image/heic", "a.heic", string(turnedHEIC(t)))), nil, ""},
		{"what is not read is said", multipart("mixed", plain, file64("application/zip", "a.zip", "PK\x03\x04")),
			[]Part{{Text: strings.TrimRight(receipt, "\n"), Name: "the message"}}, "attachment a.zip was left out"},
	} {
		var remarks []string
		got := lineFeeds(open(t, "a.eml", mailOf(c.p), &remarks))
		if c.want == nil {
			if len(got) != 1 || !bytes.HasPrefix(got[0].Photo, []byte("P5\n# taken 2026")) || got[0].Name != "attachment a.heic" {
				t.Errorf("%s: %.80q", c.why, got)
			}
		} else if diff := cmp.Diff(c.want, got); diff != "" {
			t.Errorf("%s:\n%s", c.why, diff)
		}
		if all := strings.Join(remarks, "\n"); !strings.Contains(all, c.remarks) || (c.remarks == "") != (all == "") {
			t.Errorf("%s: the remarks are %q, not %q", c.why, all, c.remarks)
		}
	}
}

func TestMailRefused(t *testing.T) {
	deep := plain
	for range mailDepth + 1 {
		deep = multipart("mixed", deep)
	}
	many := make([]part, mailParts+1)
	for i := range many {
		many[i] = covering
	}
	whole := mailOf(multipart("mixed", covering, file64("image/jpeg", "a.jpg", string(jpegOf(t, 600, 900)))))
	for _, c := range []struct {
		why  string
		data []byte
		msg  string
	}{
		{"parts in parts", mailOf(deep), "more than 10 deep"},
		{"messages in messages", bytes.Repeat([]byte("From: a@b.example\r\nMIME-Version: 1.0\r\nContent-Type: message/rfc822\r\n\r\n"), 20), "more than 10 deep"},
		{"parts beside parts", mailOf(multipart("mixed", many...)), "more than 50 parts"},
		{"cut off within an attachment", whole[:len(whole)/2], "damaged"},
		{"nothing in it", mailOf(part{"Content-Type: text/plain", "\n"}), "no text, photo or PDF"},
		{"a head without end", []byte("From: a@b.example\nSubject: " + strings.Repeat("x", maxHeader) + "\n\nTOTAL 5.00"), "head of the e-mail is damaged"},
		{"a broken PDF attached", mailOf(multipart("mixed", covering, file64("application/pdf", "b.pdf", "%PDF-1.4\n"))), "PDF is damaged"},
		{"too large", append(mailOf(plain), bytes.Repeat([]byte("x"), maxMail)...), "larger than the 25 MB"},
	} {
		if got := refused(t, "a.eml", c.data); !strings.Contains(got.Msg, c.msg) {
			t.Errorf("%s: %v", c.why, got)
		}
	}
}

func TestHTMLText(t *testing.T) {
	for _, c := range []struct{ why, html, want string }{
		{"a row is a line, its cells are apart", "<table><tr><td>OATS<td align=right>4.29<tr><td>JAM<td>3.79</table>", "OATS    4.29\nJAM    3.79"},
		{"tables within tables, as mails are laid out", "<table><tr><td><table><tr><td><b>OATS</b></td><td><p>4.29</p></td></tr></table></td></tr>" +
			"<tr><td><table><tbody><tr><td>TOTAL<td>4.29</table></table>", "OATS    4.29\nTOTAL    4.29"},
		{"a cell of two lines beside a cell of one", "<table><tr><td>OATS<br>item 4411<td>4.29</table>", "OATS    4.29\nitem 4411"},
		{"columns of as many lines", "<table><tr><td><div>OATS</div><div>JAM</div><td><div>4.29</div><div>3.79</div></table>", "OATS    4.29\nJAM    3.79"},
		{"columns that have nothing to do with each other", "<table><tr><td>OATS 4.29<br>JAM 3.79<br>TOTAL 8.08<td>Open daily<br>until ten</table>",
			"OATS 4.29\nJAM 3.79\nTOTAL 8.08\nOpen daily\nuntil ten"},
		{"lines and paragraphs", "OATS 4.29<br>JAM 3.79<p>TOTAL\n\t 8.08</p>thanks", "OATS 4.29\nJAM 3.79\n\nTOTAL 8.08\nthanks"},
		{"print laid out with spaces", "<pre>OATS     4.29\nTOTAL    4.29</pre>", "OATS     4.29\nTOTAL    4.29"},
		{"beside each other by style", `<div style="display: flex"><span>OATS</span><span>4.29</span></div><div><span>JAM</span><span style="float:right">3.79</span></div>`,
			"OATS    4.29\nJAM    3.79"},
		{"not seen, not text", `<style>p{}</style><script>var total = "9.99"</script><div style="display:none">9.99</div><span hidden>9.99</span><!-- 9.99 -->OATS 4.29`, "OATS 4.29"},
		{"crossed out", "OATS <s>5.29</s> <span style='text-decoration: line-through'>4.99</span> 4.29", "OATS 4.29"},
		{"spaces and marks of no width", "OATS&nbsp;&nbsp;1&#8203;kg&zwnj; 4&shy;.29", "OATS 1kg 4.29"},
		{"signs by name", "JAM &amp; OATS &euro;4.29 &minus;1.00", "JAM & OATS €4.29 −1.00"},
		{"broken", "<table><tr><td>OATS<td>4.29</tr></div></b><td>x", "OATS    4.29\nx"},
	} {
		got, err := htmlText([]byte(c.html))
		if err != nil || got != c.want {
			t.Errorf("%s: %v\n got %q\nwant %q", c.why, err, got, c.want)
		}
	}
	// Nested as deep as it goes: an answer or an error, at once.
	if got, err := htmlText([]byte(strings.Repeat("<div><table><tr><td>", 50_000) + "4.29")); err == nil && !strings.Contains(got, "4.29") {
		t.Errorf("got %q", got)
	}
}

// HTML that would take minutes to parse is given up in time, and HTML as long
// that is well-meant is read, in a child process too.
func TestHTMLMadeToHarm(t *testing.T) {
	var b strings.Builder
	for i := range 40_000 {
		fmt.Fprintf(&b, "<html a%d=1>", i)
	}
	_, err := Open(t.Context(), "a.html", []byte(b.String()+receipt), Options{Timeout: 2 * time.Second})
	var bad *Error
	if !errors.As(err, &bad) || !strings.Contains(bad.Msg, "took longer than 2s") {
		t.Errorf("got %v", err)
	}
	long := longReceipt()
	if len(long.body) < 2*smallHTML {
		t.Fatalf("%d bytes are no long HTML", len(long.body))
	}
	got := open(t, "a.eml", mailOf(long))
	if len(got) != 1 || strings.Count(got[0].Text, "\n") != 400 || !strings.HasSuffix(got[0].Text, "\nMILLBROOK OATS 399    3.99") {
		t.Errorf("got %d parts, %.200q", len(got), got[0].Text)
	}
}

// longReceipt is HTML of about 100 kB, laid out with tables as shops' mails are.
func longReceipt() part {
	var b strings.Builder
	b.WriteString("<html><body><table><tr><td>HARBOR LANE MARKET</td></tr>")
	for i := range 400 {
		fmt.Fprintf(&b, `<tr style="font-family: sans-serif"><td><table width="100%%"><tr><td style="padding: 4px 8px; color: #333333">MILLBROOK OATS %d</td>`+
			`<td align="right" style="padding: 4px 8px"><b>%d.%02d</b></td></tr></table></td></tr>`, i, i%9, i%100)
	}
	b.WriteString("</table></body></html>")
	return part{"Content-Type: text/html; charset=utf-8", b.String()}
}
