package main

import (
	"bytes"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"tillproof/report/overlay"
)

// cardReceipt is a receipt that prints what no copy may show.
const cardReceipt = `        Harbor Lane Market
         TEL 555-010-0132
05/09/2026 10:11   TRANS 4407

MILLBROOK ROLLED OATS            12.87
  3 @ 4.29
SUBTOTAL                         12.87
TAX                               0.00
TOTAL                            12.87

CARD                             12.87
ACCT 4012 8888 8888 1881
MEMBER 6012345678
CHANGE                            0.00
`

const cardPlan = `plan: 1
store: Harbor Lane Market
date: 2026-05-09
currency: USD
transactions:
  - {id: breakfast, items: [{id: oats, name: Millbrook rolled oats, quantity: 3, shelf: 4.29}]}
offers:
  - {id: oats-paper, title: 1.00 off oats, carried_as: paper, applies_to: [oats], deduct: 1.00, held: 1, proof: coupon.png}
`

// TestPacketBlacksOutPictures draws a receipt with whole numbers on it, makes a
// packet of its photo, and reads the packet's own picture: the numbers must not
// be there, and the lines that prove the finding must.
func TestPacketBlacksOutPictures(t *testing.T) {
	dir := t.TempDir()
	lines := strings.Split(cardReceipt, "\n")
	numbers := make([]int, len(lines))
	for i := range numbers {
		numbers[i] = i + 1
	}
	drawPNG(t, filepath.Join(dir, "receipt.png"), lines, numbers)
	drawPNG(t, filepath.Join(dir, "coupon.png"), []string{"SAVE 1.00 ON ROLLED OATS", "MEMBER 6012345678"}, []int{1, 2})
	write(t, filepath.Join(dir, "plan.yaml"), cardPlan)
	run := func(want int, args ...string) string {
		t.Helper()
		cmd := exec.Command("tillproof", args...)
		cmd.Dir = dir
		var out, errs bytes.Buffer
		cmd.Stdout, cmd.Stderr = &out, &errs
		_ = cmd.Run()
		if got := cmd.ProcessState.ExitCode(); got != want {
			t.Fatalf("%v: exit code %d, want %d\n%s%s", args, got, want, out.String(), errs.String())
		}
		return out.String()
	}
	result := run(exitDifferent, "check", "--json", "--plan", "plan.yaml", "receipt.png")
	for _, secret := range []string{"6012345678", "4012 8888 8888 1881"} {
		if !strings.Contains(result, secret) {
			t.Fatalf("the test proves nothing: %s was not read", secret)
		}
	}
	write(t, filepath.Join(dir, "result.json"), result)
	run(exitOK, "packet", "result.json", "--to", "store", "-o", "out")

	for _, file := range []string{"out/receipt-1.jpg", "out/offer-oats-paper.jpg"} {
		b, err := os.ReadFile(filepath.Join(dir, file))
		if err != nil {
			t.Fatal(err)
		}
		if bytes.Contains(b, []byte("Exif")) {
			t.Errorf("%s has the camera's notes", file)
		}
	}
	read := run(exitOK, "read", "out/receipt-1.jpg")
	for _, want := range []string{"MILLBROOK ROLLED OATS", "TOTAL", "4407"} {
		if !strings.Contains(read, want) {
			t.Errorf("the copy does not show %q:\n%s", want, read)
		}
	}
	// Print that touches black is hard to read: one of the last fours will do.
	if !strings.Contains(read, "881") && !strings.Contains(read, "678") {
		t.Errorf("no last digits are left:\n%s", read)
	}
	for _, secret := range []string{"6012", "4012", "8888", "555", "0132"} {
		if strings.Contains(strings.ReplaceAll(read, "-", ""), secret) {
			t.Errorf("the copy shows %q:\n%s", secret, read)
		}
	}
	text, err := os.ReadFile(filepath.Join(dir, "out/packet.txt"))
	if err != nil {
		t.Fatal(err)
	}
	for _, secret := range []string{"6012", "4012", "8888", "555-", "0132"} {
		if strings.Contains(string(text), secret) {
			t.Errorf("the text shows %q", secret)
		}
	}
}

func drawPNG(t *testing.T, name string, lines []string, numbers []int) {
	t.Helper()
	var b bytes.Buffer
	if err := png.Encode(&b, overlay.TextSheet(lines, numbers).Image); err != nil {
		t.Fatal(err)
	}
	write(t, name, b.String())
}

func write(t *testing.T, name, data string) {
	t.Helper()
	if err := os.WriteFile(name, []byte(data), 0o600); err != nil {
		t.Fatal(err)
	}
}
