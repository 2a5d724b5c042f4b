package cli

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"cotline/fhir"
	"cotline/fhir/read"
	"cotline/handover/entry"
	"cotline/internal/intake"
	"cotline/internal/journal"
)

// foreign is how resources that others wrote are charted.
type foreign struct {
	by, admit         string
	identify, amended []string
}

func (f *foreign) flags(cmd *cobra.Command) {
	cmd.Flags().StringVar(&f.by, "by", "", "staff key under which what others observed is charted (FHIR files), or of who accepts a "+
		"loss or the clock")
	cmd.Flags().StringVar(&f.admit, "admit", "", "KEY=COT: admit the one Patient of FHIR files who is not known")
	cmd.Flags().StringArrayVar(&f.identify, "identify", nil, "KEY: chart for this infant what its Patient of FHIR files says of name, "+
		"number, sex and visit; may be repeated")
	cmd.Flags().StringSliceVar(&f.amended, "amended", nil, "ID,...: chart what a receiver changed of these resources, under "+
		"the key of --by")
}

// resources reads what FHIR files hold against the record, what is
// offered beside them, and the site's codings.
func (c *charting) resources(ctx context.Context, from foreign, gathered *intake.Resources, beside []*entry.Entry) (offer intake.Offer,
	err error) {
	now := c.program.Now().In(c.policy.Zone)
	g := read.Given{Policy: c.policy, By: from.by, Identify: from.identify, Amended: from.amended, Beside: beside, Now: now}
	if from.admit != "" {
		var ok bool
		if g.Admit, g.Cot, ok = strings.Cut(from.admit, "="); !ok || g.Admit == "" || g.Cot == "" {
			return offer, unfit("admit", from.admit, "give KEY=COT")
		}
	}
	if slices.Contains(g.Identify, g.Admit) && g.Admit != "" {
		return offer, wrong{"--admit and --identify name one infant", "admit it, which takes its name and number too"}
	}
	if !gathered.Any() {
		if from.admit != "" || len(g.Identify) > 0 || len(g.Amended) > 0 {
			return offer, wrong{"--admit, --identify and --amended are for FHIR files", "leave them out"}
		}
		return offer, nil
	}
	if g.Site, err = c.siteCodes(c.policy); err != nil {
		return offer, err
	}
	var unsent error
	g.Sent = func(infant string, entries []*entry.Entry, known time.Time) [][]byte {
		all, err := fhir.Sent(c.policy, g.Site, infant, entries, known)
		unsent = errors.Join(unsent, err)
		return all
	}
	if c.journal == nil {
		offer = gathered.Read(g)
		return offer, unsent
	}
	err = c.journal.Holding(ctx, func(held entry.Holding) {
		g.Held = held
		offer = gathered.Read(g)
	})
	if errors.Is(err, journal.ErrDamaged) {
		err = nil // charting says so
	}
	if unsent != nil {
		return offer, unsent
	}
	if err != nil {
		err = recordError{c.record, err}
	}
	return offer, err
}

// tellChanged lists what was sent from here and came back changed: a nurse says which of
// it is charted.
func (p *Program) tellChanged(changed []fault) error {
	if len(changed) == 0 {
		return nil
	}
	p.tell(changed)
	p.say("%s in what was sent from here: the record stays as it is until someone charts what is right; --amended ID,... --by KEY "+
		"charts what it names", plural(len(changed), "change"))
	return errRefused
}

// inBundle says where in a bundle a fault is.
func (f *fault) inBundle(paths []string) {
	if f.Line < 1 || f.Line > len(paths) {
		return
	}
	f.resource = paths[f.Line-1]
	f.Path = strings.Trim(f.resource+"."+f.Path, ".")
	f.Line = 0
}

// tellAside lists resources that are not read, those of a kind in one line.
func (p *Program) tellAside(aside []fault) {
	var order []string
	count, first := map[string]int{}, map[string]fault{}
	for _, f := range aside {
		k := f.File + "\n" + f.Found + "\n" + f.Allowed
		if count[k] == 0 {
			order, first[k] = append(order, k), f
		}
		count[k]++
	}
	for _, k := range order {
		f, where := first[k], ""
		switch {
		case count[k] > 1:
			where = ", first " + f.place()
		case f.place() != f.Found:
			where = ", " + f.place()
		}
		p.say("%s: %s%s: %s [%s]", f.File, plural(count[k], f.Found), where, f.Allowed, f.Code)
	}
}

// tellNothing refuses what others observed where nothing of it was taken, and says what
// to add.
func (p *Program) tellNothing(r journal.Receipt, aside []entry.Issue) error {
	next := read.ToAdd(aside)
	if r.Held > 0 || next == "" {
		return nil
	}
	p.say("nothing was taken: %s", next)
	return errRefused
}

func (f fault) place() string {
	if f.Line > 0 {
		return fmt.Sprintf("line %d", f.Line)
	}
	return f.Path
}

// byTheRecord are the codes of what is wrong with an entry beside the others: its
// fields are the record's, and no elements of a resource.
var byTheRecord = map[entry.Code]bool{entry.CodeIDConflict: true, entry.CodeClock: true, entry.CodeNotAdmitted: true,
	entry.CodeAlreadyAdmitted: true, entry.CodeReference: true, entry.CodeInfantCase: true, entry.CodeSize: true,
	entry.CodeStep: true}

// reportAs is the report in the form that a file's name asks for.
func reportAs(name string, faults, aside []fault) ([]byte, error) {
	all := slices.Concat(faults, aside)
	if formOf(name) != bundleForm {
		return report(all)
	}
	out := []byte(`{"resourceType":"OperationOutcome","issue":[`)
	if len(all) == 0 {
		out = append(out, `{"severity":"information","code":"informational","diagnostics":"nothing was refused or left aside"}`...)
	}
	for n, f := range all {
		if n > 0 {
			out = append(out, ',')
		}
		severity, code := "error", "invalid"
		switch f.Code {
		case entry.CodeAside:
			severity, code = "information", "not-supported"
		case entry.CodeChanged:
			severity, code = "warning", "conflict"
		case entry.CodeMissing:
			code = "required"
		case entry.CodeIDConflict:
			code = "conflict"
		case entry.CodeReference:
			code = "not-found"
		case entry.CodeNotAdmitted, entry.CodeAlreadyAdmitted, entry.CodeClock:
			code = "business-rule"
		}
		out = fmt.Appendf(out, "\n{\"severity\":%q,\"code\":%q,\"details\":{\"text\":", severity, code)
		out = entry.AppendString(out, string(f.Code))
		out = append(out, `},"diagnostics":`...)
		out = entry.AppendString(out, f.String())
		if f.resource != "" {
			at := f.Path
			if byTheRecord[f.Code] {
				at = f.resource
			}
			out = append(out, `,"expression":[`...)
			out = append(entry.AppendString(out, at), ']')
		}
		out = append(out, '}')
	}
	return append(out, "\n]}\n"...), nil
}
