package cli

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"cotline/internal/access"
)

// peopleFlags name a person and what she is to be.
type peopleFlags struct {
	name, shown, unit string
	roles             []string
}

// console is where commands come from, in the trace.
var console = access.Origin{Address: "console"}

func (p *Program) people(s *settings) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "people",
		Short: "Accounts of the people who use the server: add, list, roles, lock, open, reset",
		Long: `people keeps the accounts by which people sign in at cotline serve. Nobody but its
owner ever knows a password: add and reset print a link, good once and for a day,
by which she sets it. Every change stands in the trace. A keeper does the same on
the server's page People. The first one is made by the link that serve prints, or
here; and here where none is left.

Roles, in one unit each:
` + rolesSaid(),
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
	}
	cmd.AddCommand(
		p.peopleDo(s, "add", "Add a person, and print the link by which she sets her password", []string{"name", "shown", "unit", "role"},
			func(ctx context.Context, a *access.Access, f *peopleFlags) error {
				link, err := a.AddPerson(ctx, access.Console(), console, access.Person{
					Name: f.name, Shown: f.shown, Unit: f.unit, Roles: map[string][]access.Role{f.unit: f.given()}})
				return p.linked(link, err)
			}),
		p.peopleDo(s, "list", "List people with their roles", nil, func(ctx context.Context, a *access.Access, _ *peopleFlags) error {
			return p.listPeople(ctx, a)
		}),
		p.peopleDo(s, "roles", "Give a person the roles of a unit, in place of those before; none takes them away",
			[]string{"name", "unit", "role"}, func(ctx context.Context, a *access.Access, f *peopleFlags) error {
				return p.done(a.SetRoles(ctx, access.Console(), console, f.name, f.unit, f.given()), "roles given")
			}),
		p.peopleDo(s, "lock", "Lock an account, which ends its sessions at once", []string{"name"},
			func(ctx context.Context, a *access.Access, f *peopleFlags) error {
				return p.done(a.Lock(ctx, access.Console(), console, f.name, true), "locked; its sessions are ended")
			}),
		p.peopleDo(s, "open", "Open an account that is locked", []string{"name"},
			func(ctx context.Context, a *access.Access, f *peopleFlags) error {
				return p.done(a.Lock(ctx, access.Console(), console, f.name, false), "opened")
			}),
		p.peopleDo(s, "reset", "Take a password away, end all sessions, and print the link by which she sets a new one", []string{"name"},
			func(ctx context.Context, a *access.Access, f *peopleFlags) error {
				link, err := a.Reset(ctx, access.Console(), console, f.name)
				return p.linked(link, err)
			}),
	)
	return cmd
}

// peopleDo is a command on people with the flags that it needs.
func (p *Program) peopleDo(s *settings, name, short string, wants []string,
	do func(context.Context, *access.Access, *peopleFlags) error) *cobra.Command {
	f := &peopleFlags{}
	cmd := &cobra.Command{Use: name, Short: short, Args: cobra.NoArgs, RunE: func(cmd *cobra.Command, _ []string) error {
		return s.withAccess(cmd.Context(), func(a *access.Access) error { return do(cmd.Context(), a, f) })
	}}
	flags := cmd.Flags()
	if slices.Contains(wants, "name") {
		flags.StringVar(&f.name, "name", "", "the name to sign in by, which is the key by which she charts")
		cmd.MarkFlagRequired("name") // the flag is there
	}
	if slices.Contains(wants, "shown") {
		flags.StringVar(&f.shown, "shown", "", "the name that pages and paper show")
		cmd.MarkFlagRequired("shown") // the flag is there
	}
	if slices.Contains(wants, "unit") {
		flags.StringVar(&f.unit, "unit", unit, "the unit, by the record's key")
	}
	if slices.Contains(wants, "role") {
		flags.StringSliceVar(&f.roles, "role", nil, "a role: "+joined(access.Roles)+"; may stand more than once")
	}
	return cmd
}

func (f *peopleFlags) given() (out []access.Role) {
	for _, r := range f.roles {
		out = append(out, access.Role(r))
	}
	return out
}

// rolesSaid tells what each role may do, from the table.
func rolesSaid() string {
	var b strings.Builder
	for _, r := range access.Roles {
		var may []string
		for _, g := range access.Grants {
			if g.Permission != access.OwnAccount && slices.Contains(g.Roles, r) {
				may = append(may, g.Says)
			}
		}
		fmt.Fprintf(&b, "  %-11s%s\n", r, strings.Join(may, "; "))
	}
	return b.String()
}

// withAccess opens the record for what is kept of people and programs.
func (s *settings) withAccess(ctx context.Context, do func(*access.Access) error) (err error) {
	if s.plain() {
		return wrong{"a .ndjson record keeps no people", "name a stored record with --record"}
	}
	store, err := s.store(ctx, false)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, store.Close()) }()
	err = do(&access.Access{Store: store.Access(), Home: unit, Now: s.program.Now})
	return accessFault(err, s.record)
}

// accessFault tells an error of access as one of the call or of the record.
func accessFault(err error, record string) error {
	var unfit *access.Unfit
	switch {
	case err == nil:
		return nil
	case errors.As(err, &unfit):
		return wrong{"--" + flagOf(unfit.Field) + " is not fit", unfit.Rule}
	case errors.Is(err, access.ErrNoPerson):
		return wrong{"there is nobody of that name", "cotline people list and cotline programs list tell who there is"}
	case errors.Is(err, access.ErrTaken):
		return wrong{"that name is taken", "give another with --name"}
	case errors.As(err, new(wrong)), errors.Is(err, errTold):
		return err
	}
	return recordError{record, err}
}

// flagOf is the flag that gave a field.
func flagOf(field string) string {
	switch field {
	case "shown name":
		return "shown"
	case "id":
		return "name"
	}
	return field
}

// linked prints a link, which stands nowhere else.
func (p *Program) linked(token string, err error) error {
	if err != nil {
		return err
	}
	_, err = fmt.Fprintf(p.Stdout, "%s%s\n", access.LinkPath, token)
	if err == nil {
		p.say("give her this address at the server; it is good once, within %.0f h", access.DefaultLimits.Link.Hours())
	}
	return err
}

func (p *Program) done(err error, what string) error {
	if err == nil {
		p.say("%s", what)
	}
	return err
}

func (p *Program) listPeople(ctx context.Context, a *access.Access) error {
	people, damaged, err := a.People(ctx, access.Console())
	if err != nil {
		return err
	}
	for _, name := range damaged {
		p.say("the account %q cannot be read: what is kept of it is damaged, and nobody signs in by it; cotline restore makes a record "+
			"without it, in which she is added anew", name)
	}
	w := tabwriter.NewWriter(p.Stdout, 0, 0, 2, ' ', 0)
	for _, q := range people {
		roles := cmp.Or(access.RolesText(q.Roles), "no role")
		fmt.Fprintf(w, "%s\t%s\t%s\t%s\n", q.Name, oneLine(q.Shown), roles, stateOf(q.Locked)) // told by Flush
	}
	if err := w.Flush(); err != nil || len(damaged) == 0 {
		return err
	}
	return errRefused
}

func stateOf(locked bool) string {
	if locked {
		return "locked"
	}
	return "open"
}
