package cli

import (
	"context"
	"crypto/tls"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/netip"
	"path/filepath"
	"time"

	"github.com/spf13/cobra"

	"cotline/internal/access"
	"cotline/internal/journal"
	"cotline/internal/page"
	"cotline/internal/store/sqlite"
	"cotline/internal/ward"
	"cotline/internal/web"
)

type serveFlags struct {
	listen, cert, key string
	hourly            string
	proxies           []string
	address           string
	openID            openIDFlags
	demo              bool
}

func (p *Program) serve(s *settings) *cobra.Command {
	var f serveFlags
	cmd := &cobra.Command{
		Use:   "serve",
		Short: "Serve the ward's pages",
		Long: `serve answers browsers: who is signed in and may see the unit's infants finds the
ward in a line an infant, and each infant with its pictures. What any process
charts into the record shows at once.

While nobody has an account it listens on this machine alone and prints the link
by which the first keeper makes hers. Beyond this machine it needs a certificate,
or a proxy that has one and is named. With --openid-issuer people sign in at the
hospital's, which gives them their roles; programs that were registered get tokens
where --address is given. With --hourly it writes the ward's handover
for paper into a folder, at its start and each hour: when the server or the network
is gone, what is printed of it is never more than an hour old. With --demo it
serves an invented ward, whose clock starts at its handover, and says as whom to
sign in.

` + page.Caution,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			plan, err := f.plan()
			if err != nil {
				return err
			}
			p.patience.Store(int64(web.DefaultLimits.Stop + grace))
			if plan.provider, err = f.openID.provider(cmd.Context(), plan.address); err != nil {
				return err
			}
			if f.demo {
				return p.serveDemo(cmd.Context(), s, plan)
			}
			return p.serveRecord(cmd.Context(), s, plan)
		},
	}
	cmd.Flags().StringVar(&f.listen, "listen", "127.0.0.1:8470", "address and port to listen on")
	cmd.Flags().StringVar(&f.cert, "tls-cert", "", "certificate with what signed it, PEM; read again when it changes")
	cmd.Flags().StringVar(&f.key, "tls-key", "", "its key, PEM")
	cmd.Flags().StringArrayVar(&f.proxies, "trusted-proxy", nil, "address or network (CIDR) of a proxy that speaks TLS before this "+
		"server; can be given more than once")
	cmd.Flags().StringVar(&f.address, "address", "", "the address that people and programs know this server by, such as "+
		"https://ward.example; without it there is no sign-in elsewhere, and programs get no tokens")
	f.openID.flags(cmd.Flags())
	cmd.Flags().StringVar(&f.hourly, "hourly", "", "a folder for the unit's handover in its short form, written anew each hour: "+
		"HTML, and PDF where a browser is installed")
	cmd.Flags().BoolVar(&f.demo, "demo", false, "serve an invented ward on this machine, in a record that goes when the server stops")
	return cmd
}

// plan is how to listen.
type plan struct {
	serveFlags
	loopback bool // this machine alone
	provider *access.OpenID
	trusted  []netip.Prefix
}

func (f serveFlags) plan() (plan, error) {
	out := plan{serveFlags: f}
	host, port, err := net.SplitHostPort(f.listen)
	if err != nil || port == "" {
		return out, unfit("listen", f.listen, "give an address and a port, such as 127.0.0.1:8470")
	}
	if out.address, err = addressed(f.address); err != nil {
		return out, err
	}
	ip, err := netip.ParseAddr(host)
	if host != "" && host != "localhost" && err != nil {
		return out, unfit("listen", f.listen, "give an address, not a name")
	}
	out.loopback = host == "localhost" || err == nil && ip.IsLoopback()
	for _, text := range f.proxies {
		prefix, err := netip.ParsePrefix(text)
		if one, wrong := netip.ParseAddr(text); wrong == nil {
			prefix, err = one.Prefix(one.BitLen())
		}
		if err != nil {
			return out, unfit("trusted-proxy", text, "give an address, or a network such as 10.0.0.0/24")
		}
		out.trusted = append(out.trusted, prefix.Masked())
	}
	switch {
	case (f.cert == "") != (f.key == ""):
		return out, wrong{"--tls-cert and --tls-key go together", "give both"}
	case f.demo && (f.address != "" || f.openID.issuer != ""):
		return out, wrong{"--demo has people of its own, and no programs", "leave out --address and --openid-issuer"}
	case f.demo && (!out.loopback || f.cert != "" || len(out.trusted) > 0):
		return out, wrong{"--demo serves this machine alone",
			"leave out --tls-cert, --tls-key and --trusted-proxy, and listen on 127.0.0.1"}
	case !out.loopback && f.cert == "" && len(out.trusted) == 0:
		return out, wrong{"--listen " + f.listen + " would send patients' data over the network in the clear",
			"give --tls-cert and --tls-key, or name the proxy that speaks TLS with --trusted-proxy, or listen on 127.0.0.1"}
	}
	return out, nil
}

// logger tells the console what the server does, a line each, without patients' data.
func (p *Program) logger() *slog.Logger { return slog.New(slog.NewTextHandler(p.Stderr, nil)) }

func (p *Program) serveRecord(ctx context.Context, s *settings, plan plan) error {
	if s.plain() {
		return wrong{"serve needs a stored record; " + s.record + " is a plain file", "chart it into one first: cotline chart " + s.record}
	}
	if s.policy != "" {
		return wrong{"serve shows the record by its own policy",
			"put another in force with cotline chart --policy, and leave --policy out"}
	}
	store, err := s.store(ctx, false)
	if err != nil {
		return err
	}
	a := &access.Access{Store: store.Access(), Home: unit, Now: p.Now, OpenID: plan.provider}
	if plan.address != "" {
		a.TokenURL = plan.address + web.TokenPath
	}
	err = p.answer(ctx, s.journal(store), a, s.siteCodes, plan,
		func(address string) { p.say("listening on %s; end it with Ctrl-C", address) })
	return errors.Join(err, store.Close())
}

// answer serves a journal until the context ends: first on this machine alone, where
// nobody has an account. Ready is told the address once it is listened on.
func (p *Program) answer(ctx context.Context, j *journal.Journal, a *access.Access, codes siteCodes, plan plan, ready func(string)) error {
	log := p.logger()
	var speak *tls.Config
	if plan.cert != "" {
		c, err := web.ReadCertificate(plan.cert, plan.key, log)
		if err != nil {
			return wrong{"the certificate cannot be used: " + err.Error(), "give PEM files that belong together"}
		}
		speak = c.Config()
	}
	maker, err := p.pdfMaker()
	if err != nil {
		return err
	}
	server, err := web.New(web.Config{
		Units: map[string]*journal.Journal{unit: j}, Access: a, Now: p.Now, Log: log,
		TLS: speak != nil || len(plan.trusted) > 0, Proxies: plan.trusted, OnlyProxies: speak == nil && len(plan.trusted) > 0,
		PDF: maker, Codes: codes,
	})
	if err != nil {
		return err
	}
	defer server.Close()
	server.Warm(ctx)
	if plan.hourly != "" {
		h := &hourly{program: p, server: server, units: []string{unit}, dir: plan.hourly, pdf: maker, log: log}
		while, stop := context.WithCancel(ctx)
		defer stop()
		if err := h.start(while); err != nil {
			return err
		}
		defer func() { stop(); h.wait() }()
	}
	anyone, err := a.Anyone(ctx)
	if err != nil {
		return err
	}
	if !anyone {
		if err := p.untilSettled(ctx, server, a, plan, speak); err != nil || ctx.Err() != nil {
			return err
		}
	}
	l, err := listener(plan.listen, speak)
	if err != nil {
		return err
	}
	ready(addressOf(l, speak))
	return server.Run(ctx, l)
}

// untilSettled listens on this machine alone until somebody has an account: the first
// keeper by her link, or whom a command added meanwhile.
func (p *Program) untilSettled(ctx context.Context, server *web.Server, a *access.Access, plan plan, speak *tls.Config) error {
	token, err := a.FirstKeeper(ctx)
	if err != nil {
		return err
	}
	_, port, err := net.SplitHostPort(plan.listen)
	if err != nil {
		return err
	}
	l, err := listener(net.JoinHostPort("127.0.0.1", port), speak)
	if err != nil {
		return err
	}
	p.say("nobody has an account, so it listens on this machine alone; the first keeper makes hers here, within 24 hours and once: %s%s%s",
		addressOf(l, speak), access.LinkPath, token)
	first, end := context.WithCancel(ctx)
	defer end()
	go func() {
		for first.Err() == nil {
			if anyone, err := a.Anyone(first); anyone && err == nil {
				end()
			}
			select {
			case <-time.After(time.Second):
			case <-first.Done():
			}
		}
	}()
	return server.Run(first, l)
}

func listener(address string, speak *tls.Config) (net.Listener, error) {
	l, err := net.Listen("tcp", address)
	if err != nil {
		return nil, wrong{"cannot listen on " + address + ": " + err.Error(), "give a free one with --listen"}
	}
	if speak != nil {
		l = tls.NewListener(l, speak)
	}
	return l, nil
}

func addressOf(l net.Listener, speak *tls.Config) string {
	if speak != nil {
		return "https://" + l.Addr().String()
	}
	return "http://" + l.Addr().String()
}

// demoPassword is of everybody in the demo, which listens on this machine alone.
const demoPassword = "seven moonworts by the weir" // #nosec G101 -- of the demo, which listens on this machine alone

// demoPeople are those who can sign in to the demo.
var demoPeople = []struct {
	name, shown string
	roles       []access.Role
}{
	{"rn-frost", "Nurse Frost, of the night", []access.Role{access.Nurse}},
	{"rn-agate", "Nurse Agate, of the day", []access.Role{access.Nurse}},
	{"rn-birch", "Nurse Birch, in charge", []access.Role{access.Nurse, access.Charge}},
	{"comfrey", "Clerk Comfrey", []access.Role{access.Clerk}},
	{"dock", "Keeper Dock", []access.Role{access.Keeper}},
}

// serveDemo serves the invented ward from its handover on.
func (p *Program) serveDemo(ctx context.Context, s *settings, plan plan) error {
	dir, err := p.scratch.folder()
	if err != nil {
		return err
	}
	policyText, entries := ward.Demo()
	policy, at, err := readDemo(policyText)
	if err != nil {
		return err
	}
	path := filepath.Join(dir, "ward.db")
	if _, err := p.demoRecord(ctx, path, policy, entries, at); err != nil {
		return err
	}
	then := *s
	then.record, then.program = path, p.startingAt(at)
	defer then.program.scratch.end()
	store, err := sqlite.Open(ctx, path, false)
	if err != nil {
		return err
	}
	a := &access.Access{Store: store.Access(), Home: unit, Now: p.Now}
	for _, x := range demoPeople {
		link, err := a.AddPerson(ctx, access.Console(), access.Origin{}, access.Person{Name: x.name, Shown: x.shown, Unit: unit,
			Roles: map[string][]access.Role{unit: x.roles}})
		if err == nil {
			err = a.SetPassword(ctx, access.Origin{}, link, demoPassword)
		}
		if err != nil {
			return errors.Join(fmt.Errorf("the demo's people: %w", err), store.Close())
		}
	}
	err = then.program.answer(ctx, then.journal(store), a, then.siteCodes, plan, p.demoServed)
	return errors.Join(err, store.Close())
}

// demoServed says where the demo is, and as whom to look at it.
func (p *Program) demoServed(address string) {
	fmt.Fprintf(p.Stdout, "%s\n\nAn invented ward; its clock started at %s.\nOpen %s/ and sign in with the password\n  %s\nas\n",
		page.Caution, ward.DemoAt, address, demoPassword)
	for _, x := range demoPeople {
		fmt.Fprintf(p.Stdout, "  %-8s  %s\n", x.name, x.shown) // a console
	}
	p.say("end it with Ctrl-C")
}

// startingAt is the program with a clock that runs from a moment on.
func (p *Program) startingAt(at time.Time) *Program {
	start := p.Now()
	return &Program{Stdin: p.Stdin, Stdout: p.Stdout, Stderr: p.Stderr, Now: func() time.Time { return at.Add(p.Now().Sub(start)) },
		Env: p.Env, NewID: p.NewID, taking: p.taking}
}
