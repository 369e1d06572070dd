package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"runtime"
	"slices"
	"strings"

	"tillproof/ledger"
	"tillproof/plan"
	"tillproof/week"

	"github.com/spf13/cobra"
)

// ledgerFlag lets a command use another ledger than the user's own.
func ledgerFlag(cmd *cobra.Command, file *string) {
	cmd.Flags().StringVar(file, "ledger", "", "the ledger `FILE`; without it the one in the user's data folder")
}

// openLedger opens the ledger, the user's own for "".
func openLedger(file string) (*ledger.Ledger, error) {
	if file == "" {
		folder, err := dataFolder()
		if err != nil {
			return nil, fmt.Errorf("the user's data folder is not known (%w): name a ledger with --ledger", err)
		}
		file = filepath.Join(folder, "tillproof", "ledger.db")
	}
	return ledger.Open(file)
}

// lookIn opens a ledger to look into it: one that is named must be there, so
// that a name mistyped is not taken for a ledger with nothing in it.
func lookIn(file string) (*ledger.Ledger, error) {
	if file != "" {
		if _, err := os.Stat(file); err != nil {
			return nil, fmt.Errorf("%w; tillproof week makes a ledger", describe(file, err))
		}
	}
	return openLedger(file)
}

// dataFolder is where programs keep a user's data.
func dataFolder() (string, error) {
	if dir := os.Getenv("XDG_DATA_HOME"); dir != "" {
		return dir, nil
	}
	if runtime.GOOS == "windows" || runtime.GOOS == "darwin" {
		return os.UserConfigDir()
	}
	home, err := os.UserHomeDir()
	return filepath.Join(home, ".local", "share"), err
}

// filesIn lists the files of a folder and the folders in it, in order, without
// hidden ones.
func filesIn(folder string) ([]string, error) {
	info, err := os.Stat(folder)
	if err != nil {
		return nil, describe(folder, err)
	}
	if !info.IsDir() {
		return nil, fmt.Errorf("%s: it is no folder; name the folder that holds the files", folder)
	}
	var all []string
	err = filepath.WalkDir(folder, func(name string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case name != folder && strings.HasPrefix(d.Name(), "."):
			if d.IsDir() {
				return fs.SkipDir
			}
		case d.Type().IsRegular():
			all = append(all, name)
		}
		return nil
	})
	if err != nil {
		return nil, fmt.Errorf("%s: cannot be listed: %w", folder, err)
	}
	slices.Sort(all)
	return all, nil
}

// isPlan tells plan files from store files and others in the same folder.
var isPlan = regexp.MustCompile(`(?m)^["']?plan["']?[ \t]*:`)

// loadPlans reads every plan of a folder, or the one file named, and keeps
// them in the ledger.
func (a *app) loadPlans(ctx context.Context, l *ledger.Ledger, folder string) ([]week.PlanFile, error) {
	names := []string{folder}
	if info, err := os.Stat(folder); err != nil || info.IsDir() {
		if names, err = filesIn(folder); err != nil {
			return nil, err
		}
	}
	var keep []ledger.PlanFile
	var bad faults
	for _, name := range names {
		if ext := strings.ToLower(filepath.Ext(name)); ext != ".yaml" && ext != ".yml" {
			continue
		}
		src, err := a.readFile(name, maxPlanBytes)
		if err != nil {
			bad = append(bad, err)
			continue
		}
		if !isPlan.Match(src) {
			continue
		}
		_, sum, err := a.loadPlan(name)
		if err != nil {
			bad = append(bad, err)
			continue
		}
		abs, err := filepath.Abs(name)
		if err != nil {
			return nil, err
		}
		keep = append(keep, ledger.PlanFile{File: abs, SHA256: sum, Source: src, Files: a.storeFiles(name, src)})
	}
	if bad != nil {
		return nil, joinFaults(bad)
	}
	if keep == nil {
		return nil, fmt.Errorf("%s: there is no plan in it; plans are .yaml files that begin with plan: 1", folder)
	}
	if err := l.PutPlans(ctx, keep); err != nil {
		return nil, err
	}
	return a.parsePlans(ctx, l, keep)
}

// storeFiles are the further files that a valid plan names.
func (a *app) storeFiles(name string, src []byte) map[string][]byte {
	sources := map[string][]byte{}
	open := a.storeOpener(name, sources)
	if _, err := plan.Load(src, name, open); err != nil {
		return nil
	}
	return sources
}

// parsePlans makes plans of what was kept, with the names learnt since.
func (a *app) parsePlans(ctx context.Context, l *ledger.Ledger, kept []ledger.PlanFile) ([]week.PlanFile, error) {
	learnt, err := l.Names(ctx, "")
	if err != nil {
		return nil, err
	}
	var files []string
	for _, k := range kept {
		files = append(files, k.File)
	}
	labels := shortNames(files)
	var all []week.PlanFile
	for i, k := range kept {
		p, err := plan.Load(k.Source, k.File, func(path string) ([]byte, error) {
			if b, ok := k.Files[path]; ok {
				return b, nil
			}
			return nil, fs.ErrNotExist
		})
		var errs plan.Errors
		if errors.As(err, &errs) {
			return nil, planFault{errs, map[string][]byte{k.File: k.Source}}
		} else if err != nil {
			return nil, err
		}
		teach(p, learnt)
		all = append(all, week.PlanFile{File: labels[i], SHA256: k.SHA256, Plan: p})
	}
	return all, nil
}

// teach adds to the items of p what their store's till is known to print.
func teach(p *plan.Plan, learnt []ledger.Name) {
	for _, n := range learnt {
		if !strings.EqualFold(n.Store, p.Store.Name) {
			continue
		}
		for _, tx := range p.Transactions {
			for _, it := range tx.Items {
				if week.ItemKey(it) == n.Item && !slices.Contains(it.PrintsAs, n.Text) {
					it.PrintsAs = append(it.PrintsAs, n.Text)
				}
			}
		}
	}
}

// shortNames are the files without the folders that all of them are in.
func shortNames(files []string) []string {
	out := make([]string, len(files))
	for i, f := range files {
		out[i] = filepath.ToSlash(f)
	}
	for len(out) > 0 {
		first, _, cut := strings.Cut(out[0], "/")
		if !cut || slices.ContainsFunc(out, func(s string) bool { return !strings.HasPrefix(s, first+"/") }) {
			break
		}
		for i := range out {
			out[i] = out[i][len(first)+1:]
		}
	}
	return out
}
