package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"cotline/internal/access"
)

// mostKeyFile is above what a set of keys may take.
const mostKeyFile = 256 << 10

func (p *Program) programs(s *settings) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "programs",
		Short: "Programs that may read by FHIR, once there is an endpoint: add, list, lock, open",
		Long: `programs keeps the registrations of programs for the FHIR endpoint of cotline serve,
which is not there yet: they will use it by SMART Backend Services, whose tokens
cotline serve --address gives already. Each signs its requests with a key of its own,
of which only the public part is told here, as a file (JWK set) or by an address.`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
	}
	cmd.AddCommand(
		p.addProgram(s),
		p.programDo(
			s,
			"list",
			"List programs with their units and scopes",
			false,
			func(ctx context.Context, a *access.Access, _ string) error {
				return p.listPrograms(ctx, a)
			},
		),
		p.programDo(
			s,
			"lock",
			"Lock a program, which ends its tokens at once",
			true,
			func(ctx context.Context, a *access.Access, id string) error {
				return p.done(a.LockProgram(ctx, access.Console(), console, id, true), "locked; its tokens are ended")
			},
		),
		p.programDo(s, "open", "Open a program that is locked", true, func(ctx context.Context, a *access.Access, id string) error {
			return p.done(a.LockProgram(ctx, access.Console(), console, id, false), "opened")
		}),
	)
	return cmd
}

func (p *Program) programDo(
	s *settings,
	name, short string,
	one bool,
	do func(context.Context, *access.Access, string) error,
) *cobra.Command {
	var id string
	cmd := &cobra.Command{Use: name, Short: short, Args: cobra.NoArgs, RunE: func(cmd *cobra.Command, _ []string) error {
		return s.withAccess(cmd.Context(), func(a *access.Access) error { return do(cmd.Context(), a, id) })
	}}
	if one {
		cmd.Flags().StringVar(&id, "name", "", "its client_id")
		cmd.MarkFlagRequired("name") // the flag is there
	}
	return cmd
}

func (p *Program) addProgram(s *settings) *cobra.Command {
	q := access.Program{}
	var keys string
	var scopes []string
	cmd := &cobra.Command{
		Use:   "add",
		Short: "Register a program, in place of its registration before",
		Args:  cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			q.Scopes = strings.Join(scopes, " ")
			if keys != "" {
				text, err := s.keyFile(cmd.Context(), keys)
				if err != nil {
					return err
				}
				q.Keys = text
			}
			return s.withAccess(cmd.Context(), func(a *access.Access) error {
				return p.done(a.AddProgram(cmd.Context(), access.Console(), console, q), "registered")
			})
		},
	}
	flags := cmd.Flags()
	flags.StringVar(&q.ID, "name", "", "its client_id")
	flags.StringVar(&q.Shown, "shown", "", "the name that lists show")
	flags.StringSliceVar(&q.Units, "unit", []string{unit}, "a unit whose infants it reads, by the record's key; may stand more than once")
	flags.StringSliceVar(&scopes, "scope", nil, "what it may ask for: system/*.rs, or of one type, as system/Observation.rs")
	flags.StringVar(&keys, "keys", "", "its public keys: a JWK set in this file")
	flags.StringVar(&q.KeyURL, "keys-url", "", "its public keys: the address of a JWK set, https://…")
	for _, name := range []string{"name", "shown", "scope"} {
		cmd.MarkFlagRequired(name) // the flag is there
	}
	return cmd
}

// keyFile reads a set of keys.
func (s *settings) keyFile(ctx context.Context, path string) (string, error) {
	f, err := openInput(ctx, path)
	if err != nil {
		return "", err
	}
	text, err := io.ReadAll(io.LimitReader(&stoppable{ctx: ctx, r: f}, mostKeyFile))
	return string(text), errors.Join(err, f.Close())
}

func (p *Program) listPrograms(ctx context.Context, a *access.Access) error {
	units, err := a.TraceUnits(ctx)
	if err != nil {
		return err
	}
	w := tabwriter.NewWriter(p.Stdout, 0, 0, 2, ' ', 0)
	whole := true
	for _, u := range units {
		programs, damaged, err := a.Programs(ctx, access.Console(), console, u)
		if err != nil {
			return err
		}
		for _, id := range damaged {
			whole = false
			p.say("the registration %q cannot be read: what is kept of it is damaged, and it gets no token; cotline restore makes a "+
				"record without it, in which it is added anew", id)
		}
		for _, q := range programs {
			fmt.Fprintf(w, "%s\t%s\t%s\t%s\t%s\n", q.ID, oneLine(q.Shown), u, q.Scopes, stateOf(q.Locked)) // told by Flush
		}
	}
	if err := w.Flush(); err != nil || whole {
		return err
	}
	return errRefused
}
