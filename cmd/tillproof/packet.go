package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"

	"tillproof/audit"
	"tillproof/audit/letter"
	"tillproof/ledger"
	"tillproof/money"
	"tillproof/plan"
	"tillproof/report/packet"

	"github.com/spf13/cobra"
)

// packetFlags are the flags of tillproof packet.
type packetFlags struct {
	to, plan, mine, out string
	photos              []string
	ledger              string
	// kept is the ledger that the receipt is in, nil for one in a file.
	kept *ledger.Ledger
}

func (a *app) packetCommand() *cobra.Command {
	var f packetFlags
	cmd := &cobra.Command{
		Use:   "packet RESULT.json|ID --to store|maker|payer -o FOLDER",
		Short: "Put together what is needed to dispute a receipt",
		Long: `Make a folder to send: a PDF and a text with the wording, what is missing, the
plan's rule and its sum, the offers' terms and pictures, the receipt as read and
its photo with the lines marked. RESULT.json is what check --json printed, ID a receipt
in the ledger; the photos and the plan must be the ones that it was made of.

Numbers of cards, loyalty accounts and telephones are blacked out in pictures and
texts (of cards the last four digits stay), and nothing of the camera's notes is
kept. Look through the folder yourself before you send it: print that is read
wrongly may hide a number, and names are not looked for.

Exit codes: 0 done; 2 bad input, or nothing firm to put to them.`,
		Example: `  tillproof check --json --plan trip.yaml receipt.jpg > result.json
  tillproof packet result.json --to store -o packet
  tillproof packet result.json --to payer --photos top.jpg,bottom.jpg -o claim
  tillproof packet r4f1c2d3e5a6 --to store -o packet`,
		Args: justOne("the result of a check, or the ID of a receipt"),
		RunE: func(cmd *cobra.Command, args []string) error { return a.packet(cmd.Context(), args[0], &f) },
	}
	cmd.Flags().StringVar(&f.to, "to", "", "`WHO` gets it: store, maker (who funds the coupon) or payer (of the rebate); required")
	cmd.Flags().StringVarP(&f.out, "output", "o", "", "the `FOLDER` to write to (required)")
	cmd.Flags().StringSliceVar(&f.photos, "photos", nil, "the receipt's `FILES`, where they are no longer where the check read them")
	cmd.Flags().StringVar(&f.plan, "plan", "", "the plan `file`, where it is no longer where the check read it")
	_ = cmd.MarkFlagRequired("to") // both fail only for a flag that does not exist
	_ = cmd.MarkFlagRequired("output")
	mineFlag(cmd, &f.mine)
	ledgerFlag(cmd, &f.ledger)
	a.modelFlag(cmd)
	return cmd
}

// receiptID is what the ledger calls a receipt, a finding or a due, or the
// beginning of it.
var receiptID = regexp.MustCompile(`^[rfd][0-9a-f]{3,}$`)

func (a *app) packet(ctx context.Context, name string, f *packetFlags) error {
	to := packet.Addressee(f.to)
	if !slices.Contains([]packet.Addressee{packet.Store, packet.Maker, packet.Payer}, to) {
		return fmt.Errorf("--to %q: write store, maker or payer", f.to)
	}
	result, err := a.packetResult(ctx, name, f)
	if f.kept != nil {
		defer f.kept.Close()
	}
	if err != nil {
		return err
	}
	p, sources, err := a.packetSources(ctx, result, f)
	if err != nil {
		return err
	}
	found := packet.Findings(to, p, result)
	if len(found)+len(packet.Dues(to, result)) == 0 {
		return fmt.Errorf("%s: nothing in it is firm, lost money and is for the %s to answer, so there is no packet to make", name, to)
	}
	in := packet.Input{To: to, Plan: p, Result: result, Wording: wording(to, p, result)}
	in.Hashes = append(in.Hashes, packet.Hash{File: filepath.Base(result.Plan.File), SHA256: result.Plan.SHA256})
	for _, s := range sources {
		in.Hashes = append(in.Hashes, packet.Hash{File: filepath.Base(s.name), SHA256: s.sha256()})
	}
	if err := a.packetPictures(ctx, &in, found, sources, f); err != nil {
		return err
	}
	return a.writePacket(f.out, in)
}

// wording is what the person would say or write: the letter to the addressee,
// else, where there is none, what each finding says to do.
func wording(to packet.Addressee, p *plan.Plan, r *audit.Result) string {
	addressee := map[packet.Addressee]letter.Addressee{packet.Store: letter.Store, packet.Maker: letter.Maker, packet.Payer: letter.Rebate}[to]
	for _, l := range letter.Write(p, r) {
		if l.To == addressee {
			return l.Subject + "\n\n" + l.Body
		}
	}
	text := ""
	for _, f := range packet.Findings(to, p, r) {
		text += f.Do + "\n\n"
	}
	return text
}

// packetResult is the result called name: that of a receipt in the ledger, of
// which it also finds the plan's file, or a file.
func (a *app) packetResult(ctx context.Context, name string, f *packetFlags) (*audit.Result, error) {
	if _, err := os.Stat(name); err == nil || !receiptID.MatchString(name) {
		return a.loadResult(name)
	}
	var err error
	if f.kept, err = lookIn(f.ledger); err != nil {
		return nil, err
	}
	if name[0] != 'r' { // a finding or a due, as week and due list them: what it is of
		switch due, finding, err := f.kept.Find(ctx, name); {
		case err != nil:
			return nil, err
		case finding != nil:
			name = finding.Receipt
		case due != nil:
			name = due.Receipt
		}
	}
	r, result, err := f.kept.Result(ctx, name)
	switch {
	case err != nil:
		return nil, err
	case result == nil:
		return nil, fmt.Errorf("%s is of no plan, so there is nothing to dispute with it", r.ID)
	case f.plan != "":
		return result, nil
	}
	folders, err := f.kept.Folders(ctx)
	for _, folder := range folders {
		for _, file := range folder.Plans {
			if file == result.Plan.File || strings.HasSuffix(file, "/"+result.Plan.File) {
				if kept, err := f.kept.Plan(ctx, file); err == nil && kept != nil && kept.SHA256 == result.Plan.SHA256 {
					f.plan = file
				}
			}
		}
	}
	return result, err
}

// loadResult reads what check --json printed. Line numbers are checked here, so
// that nothing later trips over a file that was changed by hand.
func (a *app) loadResult(name string) (*audit.Result, error) {
	src, err := a.readFile(name, maxPlanBytes)
	if err != nil {
		return nil, err
	}
	var r audit.Result
	if err := json.Unmarshal(src, &r); err != nil {
		return nil, fmt.Errorf("%s: is not what check --json prints: %w", name, err)
	}
	if r.Version != 1 || r.Receipt == nil || r.Verdict == "" {
		return nil, fmt.Errorf("%s: is not what check --json prints: it has no version 1, verdict or receipt", name)
	}
	lines := len(r.Receipt.Lines)
	good := func(ns []int) bool {
		return !slices.ContainsFunc(ns, func(n int) bool { return n < 1 || n > lines })
	}
	ok := true
	for i, l := range r.Receipt.Lines {
		ok = ok && l.N == i+1
	}
	for _, f := range r.Findings {
		ok = ok && good(f.Lines)
	}
	for _, d := range r.Due {
		ok = ok && good(d.Lines)
	}
	for _, m := range r.Matches {
		ok = ok && good(m.Lines)
	}
	if !ok {
		return nil, fmt.Errorf("%s: names lines that its receipt does not have; check the receipt again", name)
	}
	return &r, nil
}

// packetSources loads the plan and the files that a result was made of, and
// refuses others: a packet must show what was checked.
func (a *app) packetSources(ctx context.Context, r *audit.Result, f *packetFlags) (*plan.Plan, []source, error) {
	file := f.plan
	if file == "" {
		file = r.Plan.File
	}
	p, sum, planErr := a.loadPlanWith(file, f.mine)
	if planErr == nil && sum != r.Plan.SHA256 {
		planErr = fmt.Errorf("%s: is not the plan that was checked, or has changed since; check again, or name the right one with --plan", file)
	}
	var names, hashes []string // a file may be several pages, one after the other
	for _, ph := range r.Receipt.Photos {
		if len(hashes) == 0 || hashes[len(hashes)-1] != ph.SHA256 {
			names, hashes = append(names, ph.Name), append(hashes, ph.SHA256)
		}
	}
	if len(f.photos) > 0 {
		names = f.photos
	}
	if len(names) != len(hashes) {
		return nil, nil, joinFaults(planErr, fmt.Errorf("--photos: the result is of %d files, and %d are named", len(hashes), len(names)))
	}
	sources, photoErr := a.openSources(ctx, names, func(i int) ([]byte, error) {
		if f.kept != nil && len(f.photos) == 0 {
			photo, err := f.kept.Photo(ctx, hashes[i])
			if err != nil {
				return nil, err
			}
			if photo != nil {
				return a.original(f.kept, photo)
			}
		}
		return a.readFile(names[i], maxPhotoBytes)
	})
	if photoErr == nil {
		for i, s := range sources {
			if s.sha256() != hashes[i] {
				photoErr = joinFaults(photoErr, fmt.Errorf("%s: is not the file that was checked; name it with --photos, in the same order", s.name))
			}
		}
	}
	return p, sources, joinFaults(planErr, photoErr)
}

// writePacket writes the folder and says what is in it.
func (a *app) writePacket(folder string, in packet.Input) error {
	doc := packet.Build(in)
	var pdf bytes.Buffer
	if err := doc.PDF(&pdf, now()); err != nil {
		return fmt.Errorf("the PDF cannot be made: %w", err)
	}
	if err := os.MkdirAll(folder, 0o755); err != nil {
		return fmt.Errorf("%s: cannot be made: %w", folder, err)
	}
	files := []string{"packet.pdf", "packet.txt"}
	data := [][]byte{pdf.Bytes(), []byte(doc.Text())}
	add := func(p packet.Picture) { files, data = append(files, p.File), append(data, p.JPEG) }
	for _, p := range in.Receipt {
		add(p)
	}
	for _, o := range in.Plan.Offers {
		if p, ok := in.Proofs[o.ID]; ok {
			add(p)
		}
	}
	var failed error
	for i, f := range files {
		if err := os.WriteFile(filepath.Join(folder, f), data[i], 0o644); err != nil {
			failed = errors.Join(failed, fmt.Errorf("%s: cannot be written: %w", filepath.Join(folder, f), err))
		}
	}
	if failed != nil {
		return failed
	}
	sum := money.Amount{}
	for _, f := range packet.Findings(in.To, in.Plan, in.Result) {
		sum = sum.Sub(f.Effect)
	}
	for _, d := range packet.Dues(in.To, in.Result) {
		sum = sum.Add(d.Value)
	}
	if a.asJSON {
		return a.printJSON(struct {
			Version int              `json:"version"`
			To      packet.Addressee `json:"to"`
			Amount  money.Amount     `json:"amount"`
			Folder  string           `json:"folder"`
			Files   []string         `json:"files"`
		}{1, in.To, sum, folder, files})
	}
	fmt.Fprintf(&a.result, "For the %s, %s in all, in %s:\n", in.To, sum, folder)
	for _, f := range files {
		fmt.Fprintf(&a.result, "  %s\n", f)
	}
	fmt.Fprintln(&a.result, "Look through it before you send it: what was read wrongly may hide a number.")
	return nil
}
