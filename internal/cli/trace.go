package cli

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"text/tabwriter"
	"time"

	"github.com/spf13/cobra"

	"cotline/fhir"
	"cotline/handover"
	"cotline/internal/access"
)

type traceFlags struct {
	unit, who, format string
	kinds             []string
}

func (p *Program) trace(s *settings) *cobra.Command {
	var f traceFlags
	cmd := &cobra.Command{
		Use:   "trace",
		Short: "Say who signed in, looked, charted, exported, printed, and what was refused",
		Long: `trace prints the trace of a unit, oldest first: who did what, when and from where.
With --infant it says who looked at one infant, alone or with the whole unit. Every
row is held to the chain first; one that is not what was kept is told, and the exit
code is 1. The trace holds keys and names of staff, never a patient's data. What was
cut off its end shows against the file beside the record that says where it ended;
note the chain elsewhere all the same.`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			var policy *handover.Policy
			if f.format == "fhir" {
				var err error
				if policy, _, err = s.ofUnit(cmd); err != nil {
					return err
				}
			}
			return s.withAccess(cmd.Context(), func(a *access.Access) error { return p.runTrace(cmd.Context(), s, a, f, policy) })
		},
	}
	s.reading(cmd, "infant", "since")
	flags := cmd.Flags()
	flags.StringVar(&f.unit, "unit", unit, "the unit, by the record's key")
	flags.StringVar(&f.who, "who", "", "this person or program alone, by the name to sign in by")
	flags.StringSliceVar(&f.kinds, "kind", nil, "this kind of event alone; may stand more than once")
	flags.StringVar(&f.format, "format", "text", "text, json: an event a line, or fhir: an AuditEvent a line")
	return cmd
}

func (p *Program) runTrace(ctx context.Context, s *settings, a *access.Access, f traceFlags, policy *handover.Policy) error {
	about := access.About{Infant: s.infant, Who: strings.ToLower(f.who)}
	var err error
	if about.Since, err = moment("since", s.since); err != nil {
		return err
	}
	for _, k := range f.kinds {
		kind := access.EventKind(k)
		if !slices.Contains(access.EventKinds, kind) {
			return unfit("kind", k, "one of "+joined(access.EventKinds))
		}
		about.Kinds = append(about.Kinds, kind)
	}
	show := map[string]func([]access.Event) error{"text": p.traceText, "json": p.traceJSON,
		"fhir": func(events []access.Event) error { return p.traceFHIR(policy, events) }}[f.format]
	if show == nil {
		return unfit("format", f.format, "text, json or fhir")
	}
	r, err := a.Trace(ctx, access.Console(), console, f.unit, about)
	if err != nil {
		return err
	}
	for i, finding := range r.Findings {
		if i == mostFindings {
			p.say("and %d more", len(r.Findings)-i)
			break
		}
		p.say("WARNING: the trace of %s is not what was kept: %s", s.record, finding)
	}
	if err := show(r.Events); err != nil {
		return err
	}
	if len(r.Findings) > 0 {
		return errRefused
	}
	p.say("%s of %d in the trace; chain %s", plural(len(r.Events), "event"), r.Head.Position, r.Head.Chain)
	return nil
}

// mostFindings are told one by one.
const mostFindings = 20

func joined[T ~string](words []T) string {
	var out []string
	for _, w := range words {
		out = append(out, string(w))
	}
	return strings.Join(out, ", ")
}

func (p *Program) traceJSON(events []access.Event) error {
	e := json.NewEncoder(p.Stdout)
	for _, one := range events {
		if err := e.Encode(one); err != nil {
			return err
		}
	}
	return nil
}

func (p *Program) traceFHIR(policy *handover.Policy, events []access.Event) error {
	for _, e := range events {
		text, err := fhir.AuditEvent(policy, auditOf(e))
		if err != nil {
			return err
		}
		if _, err := fmt.Fprintf(p.Stdout, "%s\n", text); err != nil {
			return err
		}
	}
	return nil
}

func auditOf(e access.Event) fhir.Audit {
	return fhir.Audit{
		Unit:     e.Unit,
		Position: e.Position,
		At:       e.At,
		Kind:     string(e.Kind),
		What:     strings.TrimSpace(e.What + " " + e.Detail),
		Infants:  e.Infants,
		Whole:    e.Whole,
		Who:      e.Who,
		Program:  e.Program,
		LetInBy:  e.LetInBy,
		Whom:     e.Whom,
		Address:  e.Address,
	}
}

func (p *Program) traceText(events []access.Event) error {
	w := tabwriter.NewWriter(p.Stdout, 0, 0, 2, ' ', 0)
	for _, e := range events {
		fmt.Fprintf(w, "%s\t%s\t%s\t%s\t%s\n", e.At.Format(time.RFC3339), e.By(), e.Kind, e.Done(), e.Address) // told by Flush
	}
	return w.Flush()
}
