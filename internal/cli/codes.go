package cli

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"cotline/fhir"
	"cotline/fhir/guide"
	"cotline/handover"
	"cotline/internal/intake"
	"cotline/internal/journal"
	"cotline/internal/page"
	"cotline/internal/ward"
)

func (p *Program) codes(s *settings) *cobra.Command {
	var out string
	cmd := &cobra.Command{
		Use:   "codes",
		Short: "Print the codes of the FHIR export, or write them as a FHIR package",
		Long: `codes prints our own codes: code, display and meaning, a line each; with --policy or
--record those of the unit's own lists after them. With -o it writes a FHIR R4 package
into the folder package there: code systems, value sets, profiles, map to published
codes, what a receiver must support, an example of each profile from the invented
ward, and a page of each for people. Addresses are below the policy's fhir.base. Of a stored record the code system of
the unit's lists holds what any of its policies named.

` + page.Caution,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			codes := guide.Codes()
			if out != "" || s.policy != "" || given(cmd.Flags(), "record") != "" {
				policy, history, err := s.ofUnit(cmd)
				if err != nil {
					return err
				}
				if out != "" {
					return p.packageFolder(policy, formerly(history), out)
				}
				codes = append(codes, guide.UnitCodes(append(formerly(history), policy)...)...)
			}
			return p.output("", func(w io.Writer) error {
				var b strings.Builder
				for _, c := range codes {
					b.WriteString(strings.Join(c[:], "\t") + "\n")
				}
				_, err := io.WriteString(w, b.String())
				return err
			})
		},
	}
	cmd.Flags().StringVarP(&out, "output", "o", "", "write a FHIR package into this folder")
	return cmd
}

// formerly are the policies that were ever in force, of those that can be read.
func formerly(history journal.Policies) (all []*handover.Policy) {
	for _, f := range history.InForce {
		if policy := history.Each[f.Policy]; policy != nil {
			all = append(all, policy)
		}
	}
	return all
}

// packageFolder writes the package, and takes an older one away.
func (p *Program) packageFolder(policy *handover.Policy, former []*handover.Policy, out string) error {
	shown, err := invented(policy.FHIR.Base)
	if err != nil {
		return err
	}
	files, err := guide.Package(policy, shown, former...)
	if err != nil {
		return err
	}
	pages, err := guide.Pages(policy, shown)
	if err != nil {
		return err
	}
	files = append(files, pages...)
	for _, of := range [][2]string{{"package", "*.json"}, {"package/example", "*.json"}, {"package/other", "*.md"}} {
		dir := filepath.Join(out, filepath.FromSlash(of[0]))
		if err := makeFolder(dir); err != nil {
			return err
		}
		stale, err := filepath.Glob(filepath.Join(dir, of[1]))
		if err != nil {
			return err
		}
		for _, old := range stale {
			if err := os.Remove(old); err != nil {
				return err
			}
		}
	}
	for _, f := range files {
		if err := p.into(out, filepath.FromSlash(f.Name), f.Content); err != nil {
			return err
		}
	}
	p.say("%s in %s", plural(len(files), "file"), filepath.Join(out, "package"))
	return nil
}

// invented are the resources of the invented ward, of every type, with the unit's own
// codes, and after them those of one infant's document. They say that they are test
// data.
func invented(base string) ([]*fhir.Resource, error) {
	text, lines := ward.Demo()
	policy, issues := intake.Policy(text)
	if len(issues) > 0 {
		return nil, fmt.Errorf("the policy of the invented ward: %s", issues[0])
	}
	policy.FHIR.Base, policy.FHIR.Test, policy.FHIR.Send = base, true, handover.SendTypes
	offer, err := intake.Record(bytes.NewReader(lines), policy.ClockTolerance)
	if err != nil {
		return nil, err
	}
	at, err := time.Parse(time.RFC3339, ward.DemoAt)
	if err != nil {
		return nil, err
	}
	w := handover.Ward{Entries: offer.Entries, Policy: policy}
	x, err := fhir.New(w, fhir.Ask{At: at, Known: at})
	if err != nil {
		return nil, err
	}
	h := handover.Compile(w, at, at, time.Time{})
	document, err := fhir.DocumentResources(w, fhir.Edition{Handover: h, Words: page.Words(h, policy), Entries: true}, h.Infants[0].Infant)
	if err != nil {
		return nil, err
	}
	return append(x.Resources, document...), nil
}
