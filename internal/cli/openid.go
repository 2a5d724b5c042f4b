package cli

import (
	"context"
	"errors"
	"io"
	"net/netip"
	"net/url"
	"strings"

	"github.com/spf13/pflag"

	"cotline/internal/access"
	"cotline/internal/web"
)

// openIDFlags say where the hospital's sign-in is, and what of it gives which role.
type openIDFlags struct {
	issuer, client, secretFile string
	claim, name, domain        string
	roles                      []string
}

func (f *openIDFlags) flags(flags *pflag.FlagSet) {
	flags.StringVar(&f.issuer, "openid-issuer", "", "the hospital's sign-in (OpenID Connect), exactly as it names itself: "+
		"https://…; needs --address")
	flags.StringVar(&f.client, "openid-client", "", "the client id that this server has there")
	flags.StringVar(&f.secretFile, "openid-secret-file", "", "a file that holds its secret; none: a public client, with PKCE alone")
	flags.StringVar(&f.claim, "openid-claim", "groups", "the claim of the ID token that gives roles, a text or a list")
	flags.StringSliceVar(&f.roles, "openid-role", nil, "what a value of that claim gives: VALUE=ROLE, with a role as cotline people has "+
		"it; may stand more than once")
	flags.StringVar(&f.name, "openid-name", "preferred_username", "the claim that holds the key by which somebody charts")
	flags.StringVar(&f.domain, "openid-domain", "", "what follows that key in the claim and is left out, as @alder.example")
}

// addressed is the server's own address, as people and programs know it, without a slash at
// its end; empty where none was given.
func addressed(text string) (string, error) {
	if text == "" {
		return "", nil
	}
	u, err := url.Parse(text)
	if err != nil || !secure(u) || strings.Trim(u.Path, "/") != "" || u.RawQuery != "" || u.Fragment != "" || u.User != nil {
		return "", unfit("address", text,
			"give https:// and the host that people type, with nothing behind it; http:// of this machine alone")
	}
	return u.Scheme + "://" + u.Host, nil
}

// secure says whether what goes to an address is read by nobody else.
func secure(u *url.URL) bool {
	ip, err := netip.ParseAddr(u.Hostname())
	here := u.Hostname() == "localhost" || err == nil && ip.IsLoopback()
	return u.Host != "" && (u.Scheme == "https" || u.Scheme == "http" && here)
}

// provider is the hospital's sign-in; nil where none is named.
func (f *openIDFlags) provider(ctx context.Context, address string) (*access.OpenID, error) {
	if f.issuer == "" {
		if f.client != "" || f.secretFile != "" || len(f.roles) > 0 {
			return nil, wrong{"--openid-… without --openid-issuer", "name the provider, or leave them out"}
		}
		return nil, nil
	}
	u, err := url.Parse(f.issuer)
	switch {
	case err != nil || !secure(u) || u.RawQuery != "" || u.Fragment != "":
		return nil, unfit("openid-issuer", f.issuer, "give https://… exactly as the provider names itself; http:// of this machine alone")
	case address == "":
		return nil, wrong{"--openid-issuer needs --address",
			"give the address under which people reach this server, such as https://ward.example"}
	case f.client == "" || f.claim == "" || f.name == "" || len(f.roles) == 0:
		return nil, wrong{"--openid-issuer needs --openid-client and --openid-role", "give both; see cotline serve --help"}
	}
	roles := map[string][]access.UnitRole{}
	for _, text := range f.roles {
		value, role, ok := strings.Cut(text, "=")
		of := access.Role(role)
		if !ok || value == "" || !access.IsRole(of) {
			return nil, unfit("openid-role", text, "give VALUE=ROLE, with one of "+joined(access.Roles))
		}
		roles[value] = append(roles[value], access.UnitRole{Unit: unit, Role: of})
	}
	secret := ""
	if f.secretFile != "" {
		if secret, err = readSecret(ctx, f.secretFile); err != nil {
			return nil, err
		}
	}
	return &access.OpenID{Issuer: f.issuer, ClientID: f.client, Secret: secret, Redirect: address + web.BackPath, Claim: f.claim,
		Roles: roles, Name: f.name, Domain: f.domain}, nil
}

// mostSecret is above what a secret may take, in bytes.
const mostSecret = 4 << 10

// readSecret reads the first line of a file. What is in it is never told.
func readSecret(ctx context.Context, path string) (string, error) {
	file, err := openInput(ctx, path)
	if err != nil {
		return "", err
	}
	text, err := io.ReadAll(io.LimitReader(&stoppable{ctx: ctx, r: file}, mostSecret+1))
	if err = errors.Join(err, file.Close()); err != nil {
		return "", err
	}
	secret := strings.TrimSuffix(strings.TrimSuffix(string(text), "\n"), "\r")
	if secret == "" || len(text) > mostSecret || strings.ContainsFunc(secret, func(r rune) bool { return r <= ' ' || r == 0x7f }) {
		return "", wrong{"--openid-secret-file holds no secret", "put it alone into the file, on one line"}
	}
	return secret, nil
}
