package web

import (
	"context"
	"net/http"
	"net/url"
	"regexp"
	"slices"
	"strings"
	"testing"

	"cotline/internal/access"
	"cotline/internal/journal"
)

// Who may ask for what, by this test's own list: a route without a row fails, and so does
// one that answers anybody else.
var (
	everybody = []string{"nobody", "nurse", "charge", "clerk", "integrator", "keeper", "moss-nurse", "let-in"}
	whoIsIn   = everybody[1:]
	// A keeper has no PIN; who was let in by a colleague changes nothing of the account.
	accounts = []string{"nurse", "charge", "clerk", "integrator", "moss-nurse", "keeper"}
	bedside  = []string{"nurse", "charge", "let-in"}
)

var mayAsk = map[string][]string{
	"GET /sign-in":                         everybody,
	"POST /sign-in":                        everybody,
	"POST /sign-in/code":                   everybody,
	"POST /sign-in/pin":                    everybody,
	"POST /sign-in/elsewhere":              everybody,
	"GET /sign-in/back":                    everybody,
	"GET /sign-in/back/in":                 everybody,
	"POST /token":                          everybody, // a program proves itself by what it sends
	"GET /.well-known/smart-configuration": everybody,
	"GET /link/{token}":                    everybody,
	"POST /link/{token}":                   everybody,
	"POST /theme":                          everybody,
	"GET /static/{version}/{name}":         everybody,
	"GET /healthy":                         everybody,
	"POST /sign-out":                       whoIsIn,
	"GET /":                                whoIsIn,
	"GET /account":                         accounts,
	"POST /account/sessions/end":           accounts,
	"POST /account/password":               accounts,
	"POST /account/pin":                    accounts[:5:5],
	"GET /let-in":                          {"charge"},
	"POST /let-in":                         {"charge"},
	"GET /beyond":                          {"nurse", "charge", "moss-nurse"},
	"POST /beyond":                         {"nurse", "charge", "moss-nurse"},
	"GET /units/{unit}/people":             {"keeper"},
	"POST /units/{unit}/people":            {"keeper"},
	"POST /units/{unit}/people/roles":      {"keeper"},
	"POST /units/{unit}/people/lock":       {"keeper"},
	"POST /units/{unit}/people/link":       {"keeper"},
	"GET /units/{unit}/trace":              {"keeper"},
	"GET /units/{unit}/ward":               bedside,
	"GET /units/{unit}/infants/{infant}":   bedside,
	"GET /waiting":                         everybody,
	"GET /worker.js":                       everybody,
	"GET /manifest.webmanifest":            everybody,
	"GET /units/{unit}/kept":               bedside,

	"GET /units/{unit}/chart":                                     bedside,
	"GET /units/{unit}/chart/{sheet}":                             bedside,
	"POST /units/{unit}/chart/{sheet}":                            bedside,
	"GET /units/{unit}/charted/{token}":                           bedside,
	"GET /units/{unit}/entries/{entry}/correct":                   bedside,
	"POST /units/{unit}/entries/{entry}/correct":                  bedside,
	"GET /units/{unit}/entries/{entry}/retract":                   bedside,
	"POST /units/{unit}/entries/{entry}/retract":                  bedside,
	"GET /units/{unit}/infants/{infant}/chart":                    bedside,
	"GET /units/{unit}/infants/{infant}/chart/{sheet}":            bedside,
	"POST /units/{unit}/infants/{infant}/chart/{sheet}":           bedside,
	"GET /units/{unit}/infants/{infant}/charted/{token}":          bedside,
	"GET /units/{unit}/infants/{infant}/entries/{entry}/correct":  bedside,
	"POST /units/{unit}/infants/{infant}/entries/{entry}/correct": bedside,
	"GET /units/{unit}/infants/{infant}/entries/{entry}/retract":  bedside,
	"POST /units/{unit}/infants/{infant}/entries/{entry}/retract": bedside,
	"GET /units/{unit}/infants/{infant}/wrong-infant":             bedside,
	"POST /units/{unit}/infants/{infant}/wrong-infant":            bedside,

	"GET /units/{unit}/infants/{infant}/entries":           bedside,
	"GET /units/{unit}/infants/{infant}/facts":             bedside,
	"GET /units/{unit}/handover":                           bedside,
	"GET /units/{unit}/handover/review":                    bedside,
	"POST /units/{unit}/handover/review":                   bedside,
	"POST /units/{unit}/handover/print":                    bedside,
	"GET /units/{unit}/handover/{entry}":                   bedside,
	"GET /units/{unit}/handover/{entry}/next":              bedside,
	"GET /units/{unit}/handover/{entry}/infants/{infant}":  bedside,
	"POST /units/{unit}/handover/{entry}/infants/{infant}": bedside,
	"GET /units/{unit}/tables":                             {"clerk"},
	"POST /units/{unit}/tables/export":                     {"clerk"},
	"GET /units/{unit}/sheet":                              append([]string{"clerk"}, bedside...),
	"POST /units/{unit}/sheet":                             append([]string{"clerk"}, bedside...),
	"POST /units/{unit}/sheet/template":                    append([]string{"clerk"}, bedside...),
}

// in is everybody in a browser of her own.
func (b *bench) in(t testing.TB) map[string]*visitor {
	t.Helper()
	out := map[string]*visitor{"nobody": b.visitor(t)}
	for name := range people {
		out[name] = b.as(t, name)
	}
	charge, err := b.access.Session(t.Context(), b.session(t, out["charge"]))
	if err != nil {
		t.Fatal(err)
	}
	code, err := b.access.LetIn(t.Context(), charge, from, "nurse", charge.Until)
	if err != nil {
		t.Fatal(err)
	}
	out["let-in"] = b.visitor(t)
	if r := out["let-in"].post(t, "/sign-in/code", url.Values{"name": {"nurse"}, "code": {code}}); r.status != http.StatusSeeOther {
		t.Fatal(r.status, r.body)
	}
	return out
}

// session is the token that a browser has.
func (b *bench) session(t testing.TB, v *visitor) string {
	t.Helper()
	u, err := url.Parse(b.url)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range v.Jar.Cookies(u) {
		if c.Name == "cotline-session" {
			return c.Value
		}
	}
	return ""
}

// own is what an answer has of the request itself: its id, the path to come back to.
var own = regexp.MustCompile(`<code>[A-Z0-9]+</code>|name="back" value="[^"]*"`)

func (r result) same() string { return own.ReplaceAllString(r.body, "") }

// Every route for everybody, in the own unit, in another and in one that there is not.
// Whoever may not is answered as for a page that there is not.
func TestEveryRouteForEverybody(t *testing.T) {
	t.Parallel()
	b := newServer(t, nil)
	b.access.OpenID = &access.OpenID{Issuer: "http://127.0.0.1:1", ClientID: "cotline"} // which does not answer
	all := b.in(t)
	fern, moss := look(t, b.fern.live()).Ward().Infants[0].Infant, look(t, b.moss.live()).Ward().Infants[0].Infant
	seen := map[string]bool{}
	for _, rt := range routes() {
		key := rt.method + " " + rt.path
		seen[key] = true
		may, listed := mayAsk[key]
		if !listed {
			t.Errorf("%s: who may ask for it is not listed", key)
			continue
		}
		for _, unit := range []string{"fern", "moss", "nowhere"} {
			path := strings.NewReplacer("{unit}", unit, "{infant}", map[string]string{"moss": moss}[unit],
				"{token}", strings.Repeat("A", 43),
				"{version}", version, "{name}", "cotline.css", "{sheet}", "note", "{entry}", "x").Replace(rt.path)
			if unit != "moss" {
				path = strings.Replace(path, "/infants/", "/infants/"+fern, 1)
			}
			scoped := strings.Contains(rt.path, "{unit}")
			for name, v := range all {
				if key == "POST /sign-out" || key == "POST /account/sessions/end" && name == "nurse" {
					continue // would end what others of this test are
				}
				yes := slices.Contains(may, name)
				if scoped {
					yes = yes && unit == "fern" || name == "moss-nurse" && unit == "moss" && slices.Contains(may, "nurse")
				}
				got := v.do(t, v.request(t, rt.method, path, url.Values{"unit": {"nowhere"}, "reason": {"nobody else is near"}}))
				checkRoute(t, v, key+" "+unit+" as "+name, rt, name, yes, got)
			}
		}
	}
	for key := range mayAsk {
		if !seen[key] {
			t.Errorf("%s is listed and no route", key)
		}
	}
}

var refusals = []int{http.StatusNotFound, http.StatusUnauthorized, http.StatusServiceUnavailable}

func checkRoute(t *testing.T, v *visitor, where string, rt route, name string, may bool, got result) {
	t.Helper()
	// No such link, unit or entry, whoever asks.
	unknown := rt.path == "/beyond" && rt.method == http.MethodPost || slices.ContainsFunc([]string{"/link/", "/charted/", "{entry}"},
		func(part string) bool { return strings.Contains(rt.path, part) })
	switch {
	case may && !unknown && slices.Contains(refusals, got.status):
		t.Errorf("%s: %d", where, got.status)
	case may:
	case name == "nobody" && rt.method == http.MethodGet:
		if to := got.header.Get("Location"); got.status != http.StatusSeeOther || !strings.HasPrefix(to, "/sign-in") || got.body != "" {
			t.Errorf("%s: %d to %q", where, got.status, to)
		}
	case name == "nobody":
		if got.status != http.StatusUnauthorized {
			t.Errorf("%s: %d", where, got.status)
		}
	default:
		if want := v.get(t, "/nothing/here"); got.status != http.StatusNotFound || got.same() != want.same() {
			t.Errorf("%s: %d, and not as what is not there:\n%s", where, got.status, got.body)
		}
	}
}

// touched is a store that tells when it is read.
type touched struct {
	journal.Store
	read bool
}

func (s *touched) Read(ctx context.Context, unit string, do func(journal.View) error) error {
	s.read = true
	return s.Store.Read(ctx, unit, do)
}

// Another unit's record is not even looked at for who may not see it, so that neither
// text nor time can tell what is in it; what is not there in one's own is one answer, too.
func TestAnotherUnitsRecordIsNotLookedAt(t *testing.T) {
	t.Parallel()
	var store *touched
	b := newServer(t, func(c *Config) {
		j := *c.Units["moss"]
		store = &touched{Store: j.Store}
		j.Store = store
		c.Units["moss"] = &j
	})
	key := look(t, b.moss.live()).Ward().Infants[0].Infant
	v := b.as(t, "charge")
	want := v.get(t, "/nothing/here")
	for _, path := range []string{
		"/units/moss/ward", infantPath("moss", key), infantPath("moss", "none"), infantPath("fern", key), infantPath("fern", "none"),
		"/units/fern/ward/" + key, "/units/Fern/ward", "/units/fern%2Fward", "/units/..%2fmoss/ward",
		infantPath("fern", "../../moss/infants/"+key),
		infantPath("fern", "' OR 1=1 --"), infantPath("fern", strings.Repeat("x", 4000)),
	} {
		if got := v.get(t, path); got.status != http.StatusNotFound || got.same() != want.same() {
			t.Errorf("%.80s: %d", path, got.status)
		}
	}
	if store.read {
		t.Error("the other unit's record was read")
	}
	// In an emergency, with a reason, it is shown, and only read.
	if got := v.post(t, "/beyond", url.Values{"unit": {"moss"}, "reason": {"short"}}); got.status != http.StatusUnprocessableEntity {
		t.Errorf("without a reason: %d", got.status)
	}
	got := v.post(t, "/beyond", url.Values{"unit": {"moss"}, "reason": {"the alarm rings and nobody of moss is here"}})
	if got.header.Get("Location") != "/units/moss/ward" {
		t.Errorf("%d %s", got.status, got.body)
	}
	if got := v.get(t, infantPath("moss", key)); got.status != http.StatusOK {
		t.Errorf("looking beyond: %d", got.status)
	}
	looks, err := b.access.Looks(t.Context(), access.Console(), from, "moss")
	if err != nil || len(looks) != 1 || looks[0].Person != "charge" {
		t.Errorf("%v %v", looks, err)
	}
}
