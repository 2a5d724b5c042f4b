package web

import (
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"
	"time"

	"golang.org/x/net/html"

	"cotline/handover"
	"cotline/handover/entry"
	"cotline/internal/access"
	"cotline/internal/journal"
	"cotline/internal/web/forms"
)

// shown is what a browser would post of the form of a page as it is shown.
func shown(t testing.TB, page string) url.Values {
	t.Helper()
	root, err := html.Parse(strings.NewReader(page))
	if err != nil {
		t.Fatal(err)
	}
	out := url.Values{}
	for n := range root.Descendants() {
		if n.Data != "form" || !strings.Contains(attr(n, "class"), "sheet") {
			continue
		}
		for x := range n.Descendants() {
			name, kind := attr(x, "name"), attr(x, "type")
			switch {
			case name == "" || x.Data != "input" && x.Data != "textarea":
			case x.Data == "textarea":
				text := ""
				for d := range x.Descendants() {
					text += d.Data
				}
				out.Add(name, text)
			case kind == "radio" || kind == "checkbox":
				if slices.ContainsFunc(x.Attr, func(a html.Attribute) bool { return a.Key == "checked" }) {
					out.Add(name, attr(x, "value"))
				}
			default:
				out.Add(name, attr(x, "value"))
			}
		}
		return out
	}
	t.Fatalf("no form in %s", page)
	return nil
}

func attr(n *html.Node, key string) string {
	for _, a := range n.Attr {
		if a.Key == key {
			return a.Val
		}
	}
	return ""
}

// cotNo is an infant of the demo ward with or without a look-alike.
func (b *bench) infant(t testing.TB, alike bool) *handover.Summary {
	t.Helper()
	for _, f := range look(t, b.fern.live()).Ward().Infants {
		if (len(f.LookAlikes) > 0) == alike && f.Support.State == "on" && f.Interface.Value != nil {
			return f
		}
	}
	t.Fatal("no such infant")
	return nil
}

// held is the record as it is.
func (b *bench) held(t testing.TB) journal.Reading {
	t.Helper()
	r, err := b.fern.Read(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// head is where the record ends; what was read up to there is not read again.
func (b *bench) head(t testing.TB) journal.Cursor {
	t.Helper()
	tail, err := b.fern.After(t.Context(), b.read)
	if errors.Is(err, journal.ErrAnew) {
		_, tail.Cursor, err = b.fern.Here(t.Context(), b.fern.clock.Now())
	}
	if err != nil {
		t.Fatal(err)
	}
	b.read = tail.Cursor
	return b.read
}

// since are the entries taken after that, in their order.
func (b *bench) since(t testing.TB, head journal.Cursor) []*entry.Entry {
	t.Helper()
	tail, err := b.fern.After(t.Context(), head)
	if err != nil {
		t.Fatal(err)
	}
	return tail.Entries
}

// open is a form that is shown first, past the question which infant this is.
func (v *visitor) open(t testing.TB, f *handover.Summary, sheet string) (path string, posted url.Values) {
	t.Helper()
	path = chartPath("fern", f.Infant) + "/" + sheet
	got := v.get(t, path)
	if len(f.LookAlikes) > 0 && numberOf(f) != "" {
		got = v.post(t, path, url.Values{"digits": {numberOf(f)}})
	}
	if got.status != http.StatusOK {
		t.Fatalf("%s: %d %s", path, got.status, got.body)
	}
	return path, shown(t, got.body)
}

// with is a form with some values filled in.
func with(posted url.Values, more ...string) url.Values {
	out := url.Values{}
	for k, v := range posted {
		out[k] = slices.Clone(v)
	}
	for i := 0; i < len(more); i += 2 {
		out.Set(more[i], more[i+1])
	}
	return out
}

func mustGoOn(t testing.TB, got result) string {
	t.Helper()
	if got.status != http.StatusSeeOther {
		t.Fatalf("%d %s", got.status, got.body)
	}
	return got.header.Get("Location")
}

// A form posted as it is shown adds nothing, of any kind and any round, on support and off; it
// says so, and shows the form again.
func TestFormAsShownAddsNothing(t *testing.T) {
	t.Parallel()
	b := newServer(t, nil)
	v, before := b.as(t, "nurse"), b.head(t)
	never := slices.IndexFunc(look(t, b.fern.live()).Ward().Infants, func(f *handover.Summary) bool { return f.Support.State != "on" })
	for _, f := range []*handover.Summary{b.infant(t, true), b.infant(t, false), look(t, b.fern.live()).Ward().Infants[never]} {
		for _, s := range sheetsOf(f.Infant) {
			path, posted := v.open(t, f, s.name)
			got := v.post(t, path, posted)
			if got.status != http.StatusUnprocessableEntity || !strings.Contains(got.body, "Nothing was filled in") {
				t.Errorf("%s: %d", path, got.status)
			}
			if again := shown(t, got.body); again.Encode() != posted.Encode() {
				t.Errorf("%s: comes back as\n%s, not\n%s", path, again.Encode(), posted.Encode())
			}
		}
	}
	for _, s := range sheetsOf("") {
		path := "/units/fern/chart/" + s.name
		if got := v.post(t, path, shown(t, v.get(t, path).body)); got.status != http.StatusUnprocessableEntity {
			t.Errorf("%s: %d", path, got.status)
		}
	}
	if n := len(b.since(t, before)); n > 0 {
		t.Errorf("%d entries were added", n)
	}
}

// example is a value of a field that may be charted in the demo's unit.
func example(p *handover.Policy, s *entry.Spec) string {
	quoted := func(x string) string { return `"` + x + `"` }
	switch {
	case s.Name == "task":
		return ""
	case s.List == "size":
		return quoted(p.Sizes["mask"][0])
	case s.List == "bonnet":
		return quoted(p.Bonnets[0].Name)
	case s.Name == "steps":
		return `[{"step":"` + p.Setup[0] + `","done":true},{"step":"` + p.Setup[1] + `","done":false}]`
	case s.Name == "items":
		return `[{"item":"` + p.Checks[0] + `","ok":true},{"item":"` + p.Checks[2] + `","ok":false}]`
	case s.Name == "sites":
		return `[{"site":"septum","finding":"stage-1","also":["dry","crust"],"underBarrier":true,"action":"barrier <renewed>",` +
			`"note":"a\nb"},` +
			`{"site":"occiput","finding":"intact"}]`
	case s.Name == "points":
		return `[{"gasPercent":21,"readPercent":21.5},{"gasPercent":100,"readPercent":98.0}]`
	case s.Name == "care":
		return quoted(p.AllCares()[0])
	case s.Type == entry.Instant:
		return quoted("2026-03-09T03:10:00+01:00")
	case s.Type == entry.Birth:
		return quoted("2026-03-08")
	case s.Type == entry.Gestation:
		return quoted("26+3")
	case s.Type == entry.Interval:
		return quoted("4h")
	case s.Name == "spo2LowPercent":
		return "90"
	case strings.HasSuffix(s.Name, "LowBpm"), strings.HasSuffix(s.Name, "LowPercent"), strings.HasSuffix(s.Name, "LowCmH2O"):
		return "12"
	}
	return s.Example()
}

// Every kind, with each of its fields, charted through its page comes out as the same
// entry does through the command line, byte for byte.
func TestEveryKindThroughItsPage(t *testing.T) {
	t.Parallel()
	b := newServer(t, nil)
	v, f := b.as(t, "nurse"), b.infant(t, false)
	fields := 0
	for _, s := range plainSheets(true) {
		if s.name == "task-done" || s.name == "discharge" {
			continue // of a task, below; at the end
		}
		k, _ := entry.KindOf(s.name)
		for i := range k.Fields {
			fields += b.through(t, v, f, k, i)
		}
	}
	before := b.head(t)
	path, posted := v.open(t, f, "task")
	mustGoOn(t, v.post(t, path, with(posted, "task.text", "Ask about the scan")))
	task := b.since(t, before)[0]
	path, posted = v.open(t, f, "task-done")
	mustGoOn(t, v.post(t, path, with(posted, "task-done.task", task.ID)))
	path, posted = v.open(t, f, "deferral")
	mustGoOn(t, v.post(t, path, with(posted, "deferral.what", "skin", "deferral.until.now", "yes", "deferral.reason", "asleep")))
	path, posted = v.open(t, f, "discharge")
	mustGoOn(t, v.post(t, path, with(posted, "discharge.to", "ward", "discharge.place", "Ward 4")))
	if fields < 100 {
		t.Errorf("%d fields were charted", fields)
	}
}

// through charts an entry with what it must have and one field more.
func (b *bench) through(t *testing.T, v *visitor, f *handover.Summary, k *entry.Kind, which int) int {
	t.Helper()
	at := b.fern.clock.Now().Add(-time.Duration(which) * time.Minute).Truncate(time.Minute)
	policy := b.fern.policy
	text := fmt.Sprintf(`{"id":"00000000-0000-4000-8000-000000000001","infant":%q,"kind":%q,"at":%q,"by":"nurse"`, f.Infant, k.Name,
		entry.Stamp(at, policy.Zone))
	for i := range k.Fields {
		s := &k.Fields[i]
		given := example(policy, s)
		needed := s.Required || len(k.AnyOf) > 0 && s.Name == k.AnyOf[0] ||
			s.When.Field != "" && k.Name != "plan" && k.Name != "deferral"
		if (needed || i == which) && given != "" {
			text += `,"` + s.Name + `":` + given
		}
	}
	offered, issues := entry.ParseJSON([]byte(text + "}"))
	want, more := entry.Decode(offered)
	if issues = append(issues, more...); len(issues) > 0 {
		t.Fatalf("%s: %v", text, issues)
	}
	path, posted := v.open(t, f, k.Name)
	for name, values := range forms.Flatten(k.Name, k.Fields, want.Fields, policy.Zone) {
		posted[name] = values
	}
	forms.FlattenMoment(posted, "at", want.At.Text, policy.Zone)
	before := b.head(t)
	got := v.post(t, path, posted)
	if got.status == http.StatusOK && strings.Contains(got.body, "Is that so?") {
		root := shown(t, got.body)
		root.Set("sure", sureOf(got.body))
		got = v.post(t, path, root)
	}
	if got.status != http.StatusSeeOther {
		t.Errorf("%s: %d %s", text, got.status, faultsOf(t, got.body))
		return 0
	}
	taken := b.since(t, before)
	if len(taken) != 1 {
		t.Fatalf("%d entries", len(taken))
	}
	want.ID = taken[0].ID
	record := []*entry.Entry{&want}
	entry.Accept(entry.Nothing, record, nil, 0, b.fern.clock.Now()) // as it is cleaned when it is taken
	if got, want := string(taken[0].AppendCanonical(nil)), string(record[0].AppendCanonical(nil)); got != want {
		t.Errorf("%s\nnot %s", got, want)
	}
	return 1
}

func sureOf(page string) string {
	_, rest, _ := strings.Cut(page, `name="sure" value="`)
	digest, _, _ := strings.Cut(rest, `"`)
	return digest
}

func faultsOf(t testing.TB, page string) (out []string) {
	for _, class := range []string{"fault", "problem"} {
		for _, n := range nodes(t, page, class) {
			out = append(out, wordsOf(n))
		}
	}
	return out
}

// What is wrong stands beside its field; nothing typed is lost, and nothing is taken.
func TestFaultsKeepWhatWasTyped(t *testing.T) {
	t.Parallel()
	b := newServer(t, nil)
	v, f := b.as(t, "nurse"), b.infant(t, false)
	before := b.head(t)
	path, posted := v.open(t, f, "round")
	typed := with(
		posted,
		"observations.spo2Percent",
		"92",
		"observations.heartRateBpm",
		"1480",
		"settings.fio2Percent",
		"0.28",
		"at.time",
		"2560",
	)
	got := v.post(t, path, typed)
	if got.status != http.StatusUnprocessableEntity || shown(t, got.body).Encode() != typed.Encode() {
		t.Errorf("%d, comes back as %s", got.status, shown(t, got.body).Encode())
	}
	for _, id := range []string{"observations.heartRateBpm-fault", "settings.fio2Percent-fault", "at-fault"} {
		if !strings.Contains(got.body, `id="`+id+`"`) {
			t.Errorf("no %s", id)
		}
	}
	if b.head(t) != before {
		t.Error("something was taken")
	}
}

// A form sent twice is taken once; sent again with other values, it is refused with what
// to do.
func TestSentTwice(t *testing.T) {
	t.Parallel()
	b := newServer(t, nil)
	v, f := b.as(t, "nurse"), b.infant(t, false)
	before := b.head(t)
	path, posted := v.open(t, f, "round")
	posted = with(posted, "observations.spo2Percent", "92", "settings.before", "yes")
	to := mustGoOn(t, v.post(t, path, posted))
	b.fern.clock.set(b.fern.clock.Now().Add(time.Minute))
	if again := mustGoOn(t, v.post(t, path, posted)); again != to {
		t.Errorf("%s, %s", to, again)
	}
	if taken := b.since(t, before); len(taken) != 2 {
		t.Errorf("%d entries", len(taken))
	}
	got := v.post(t, path, with(posted, "observations.spo2Percent", "93"))
	if got.status != http.StatusUnprocessableEntity || !strings.Contains(got.body, "charted already") {
		t.Error(got.status, faultsOf(t, got.body))
	}
}

// What is in doubt is asked before it is taken. To go back brings the form as it was; to
// say yes takes it.
func TestDoubtsAreAsked(t *testing.T) {
	t.Parallel()
	b := newServer(t, nil)
	v, f := b.as(t, "nurse"), b.infant(t, false)
	before := b.head(t)
	path, posted := v.open(t, f, "measure")
	posted = with(posted, "head.circumferenceCm", "39.5", "weight.weightG", "9000")
	got := v.post(t, path, posted)
	if got.status != http.StatusOK || !strings.Contains(got.body, "Is that so?") || !strings.Contains(got.body, "39.5") {
		t.Fatal(got.status, got.body)
	}
	if b.head(t) != before {
		t.Fatal("it was taken before it was asked")
	}
	asked := shown(t, got.body)
	back := shown(t, v.post(t, path, with(asked, "back", "yes")).body)
	if back.Encode() != posted.Encode() {
		t.Errorf("back comes\n%s, not\n%s", back.Encode(), posted.Encode())
	}
	if r := v.post(t, path, with(asked, "sure", "of something else")); r.status != http.StatusOK {
		t.Error("another answer was taken")
	}
	b.fern.clock.set(b.fern.clock.Now().Add(time.Minute))
	mustGoOn(t, v.post(t, path, with(asked, "sure", sureOf(got.body))))
	taken := b.since(t, before)
	if len(taken) != 2 || taken[0].Text("circumferenceCm") != "39.5" {
		t.Errorf("%v", taken)
	}
	if at := asked.Get("at.which"); taken[0].At.Text != at {
		t.Errorf("at %s, and asked at %s", taken[0].At.Text, at)
	}
}

// Of an infant who has a look-alike the number is asked first, and again where a form
// comes without it; a scanner may type all of it. It stands in no address.
func TestLookAlikeIsAskedFirst(t *testing.T) {
	t.Parallel()
	b := newServer(t, nil)
	v, f := b.as(t, "nurse"), b.infant(t, true)
	before := b.head(t)
	path := chartPath("fern", f.Infant) + "/round"
	gate := v.get(t, path).body
	if strings.Contains(gate, "observations.spo2Percent") || !strings.Contains(gate, `name="digits"`) ||
		!strings.Contains(gate, "LOOK-ALIKE") {
		t.Fatal(gate)
	}
	if strings.Contains(wordsOf(nodes(t, gate, "whom")[0]), numberOf(f)) {
		t.Error("the number that is asked for stands beside the question")
	}
	if got := v.post(t, path, url.Values{"digits": {"999"}}); got.status != http.StatusUnprocessableEntity ||
		strings.Contains(got.body, "spo2") {
		t.Error("a wrong number opens the form")
	}
	for _, typed := range []string{tail(numberOf(f)), numberOf(f)} {
		if got := v.post(t, path, url.Values{"digits": {typed}}); !strings.Contains(got.body, "observations.spo2Percent") {
			t.Errorf("%s: %s", typed, got.body)
		}
	}
	posted := with(shown(t, v.post(t, path, url.Values{"digits": {numberOf(f)}}).body), "observations.spo2Percent", "93")
	without := with(posted)
	without.Del("digits")
	got := v.post(t, path, without)
	if b.head(t) != before || !strings.Contains(got.body, `name="observations.spo2Percent" value="93"`) {
		t.Error("taken without the number, or lost: ", got.body)
	}
	mustGoOn(t, v.post(t, path, posted))
}

// Where the numbers of two who look alike end the same, the end tells nothing: all of it
// is asked.
func TestWholeNumberWhereEndsAreAlike(t *testing.T) {
	c := &charting{summary: &handover.Summary{MRN: "4410023", LookAlikes: []handover.LookAlike{{Infant: "b", Why: "number"}}},
		snap: &Snapshot{infants: map[string]compiled{"b": {summary: &handover.Summary{MRN: "4420023"}}}}}
	for typed, want := range map[string]bool{"": false, "023": false, "4420023": false, "4410023": true, " 4410023 ": true} {
		if c.posted = (url.Values{"digits": {typed}}); c.proven() != want {
			t.Errorf("%q: %v", typed, c.proven())
		}
	}
	c.snap.infants["b"].summary.MRN = "4410032"
	if c.posted = (url.Values{"digits": {"023"}}); !c.proven() {
		t.Error("the end tells them apart, and is not taken")
	}
}

// As before charts what was shown with one touch, of settings and interface, and no
// observation; what was typed beside it holds; what changed meanwhile is asked anew.
func TestAsBefore(t *testing.T) {
	t.Parallel()
	b := newServer(t, nil)
	v, f := b.as(t, "nurse"), b.infant(t, false)
	before := b.head(t)
	path, posted := v.open(t, f, "round")
	mustGoOn(t, v.post(t, path, with(posted, "settings.before", "yes", "interface.before", "yes", "settings.fio2Percent", "33")))
	taken := b.since(t, before)
	if len(taken) != 2 || taken[0].Kind != "settings" || taken[0].Text("fio2Percent") != "33" ||
		taken[1].Text("type") != f.Interface.Value.Type {
		t.Fatalf("%v", taken)
	}
	for _, s := range f.Settings {
		if got := taken[0].Text(s.Field); s.Fact != nil && s.Field != "fio2Percent" && got != s.Fact.Value.String() {
			t.Errorf("%s is %q", s.Field, got)
		}
	}
	b.fern.clock.set(b.fern.clock.Now().Add(time.Minute)) // of one moment the greater id would rule
	path, late := v.open(t, f, "round")
	other, now := v.open(t, f, "round")
	mustGoOn(t, v.post(t, other, with(now, "settings.fio2Percent", "40")))
	got := v.post(t, path, with(late, "settings.before", "yes"))
	if got.status != http.StatusUnprocessableEntity || !strings.Contains(got.body, "changed meanwhile") ||
		!strings.Contains(got.body, "Set FiO2 40") &&
			!strings.Contains(got.body, "set FiO2 40") {
		t.Error(got.status, faultsOf(t, got.body))
	}
}

// One touch says intact of the sites marked as seen, and of no other.
func TestIntactIsOfSitesSeen(t *testing.T) {
	t.Parallel()
	b := newServer(t, nil)
	v, f := b.as(t, "nurse"), b.infant(t, false)
	before := b.head(t)
	path, posted := v.open(t, f, "face")
	if got := v.get(t, path); !strings.Contains(got.body, "In dark skin redness may not show") {
		t.Error("what to compare is not said")
	}
	intact := with(posted, "skin.intact", "yes")
	if got := v.post(t, path, intact); got.status != http.StatusUnprocessableEntity ||
		!strings.Contains(got.body, "No site is marked") {
		t.Error(got.status)
	}
	seen := with(posted)
	seen["skin.seen"] = []string{"bridge", "septum", "ear-left"}
	if got := v.post(t, path, seen); got.status != http.StatusUnprocessableEntity {
		t.Error("a site without a finding was taken")
	}
	seen.Set("skin.intact", "yes")
	seen.Set("skin.septum.finding", "stage-1")
	size := b.fern.policy.Sizes["prongs"][0]
	seen.Set("interface.on", "prongs|"+size)
	mustGoOn(t, v.post(t, path, seen))
	taken := b.since(t, before)
	if len(taken) != 2 {
		t.Fatalf("%v", taken)
	}
	got := string(taken[0].AppendFields(nil))
	want := `,"sites":[{"site":"septum","finding":"stage-1"},{"site":"bridge","finding":"intact"},{"site":"ear-left","finding":"intact"}]}`
	if got != want {
		t.Error(got)
	}
	if taken[1].Text("type") != "prongs" || taken[1].Text("size") != size {
		t.Errorf("%v", taken[1])
	}
}

// Undoing is a retraction, by the one who undoes, once however often it is sent; who
// charted stays readable.
func TestUndo(t *testing.T) {
	t.Parallel()
	b := newServer(t, nil)
	v, f := b.as(t, "nurse"), b.infant(t, false)
	before := b.head(t)
	path, posted := v.open(t, f, "round")
	to := mustGoOn(t, v.post(t, path, with(posted, "observations.spo2Percent", "71")))
	page := v.get(t, to)
	if page.status != http.StatusOK || !strings.Contains(page.body, "Undo observations") || !strings.Contains(page.body, "71") {
		t.Fatal(page.status, page.body)
	}
	made := b.since(t, before)[0]
	before = b.head(t)
	undo := url.Values{
		"token":  {"6f1c3d52-7d8f-4f2e-9d59-0d5e2a9c1b11"},
		"from":   {to[strings.LastIndex(to, "/")+1:]},
		"reason": {"undone"},
	}
	for range 2 {
		if got := mustGoOn(t, v.post(t, entryPath("fern", f.Infant, made.ID, "retract"), undo)); got != to {
			t.Errorf("to %s", got)
		}
	}
	taken := b.since(t, before)
	if len(taken) != 1 || taken[0].Kind != "retraction" || taken[0].Reference("of") != made.ID || taken[0].By != "nurse" {
		t.Fatalf("%v", taken)
	}
	if page = v.get(t, to); !strings.Contains(page.body, "Undone:") || strings.Contains(page.body, "Undo observations") {
		t.Error(page.body)
	}
}

// A correction starts from what stands, says why, and may be undone.
func TestCorrection(t *testing.T) {
	t.Parallel()
	b := newServer(t, nil)
	v, f := b.as(t, "nurse"), b.infant(t, false)
	before := b.head(t)
	path, posted := v.open(t, f, "round")
	mustGoOn(t, v.post(t, path, with(posted, "observations.spo2Percent", "71")))
	made := b.since(t, before)[0]
	before = b.head(t)
	path = entryPath("fern", f.Infant, made.ID, "correct")
	posted = shown(t, v.get(t, path).body)
	if posted.Get("observations.spo2Percent") != "71" || posted.Get("at.which") != made.At.Text {
		t.Fatal(posted)
	}
	posted.Set("observations.spo2Percent", "91")
	if got := v.post(t, path, posted); got.status != http.StatusUnprocessableEntity ||
		!strings.Contains(got.body, `id="reason-fault"`) {
		t.Error("no reason was asked for", got.status)
	}
	to := mustGoOn(t, v.post(t, path, with(posted, "reason", "a slip")))
	taken := b.since(t, before)
	if len(taken) != 1 || taken[0].Corrected == nil || taken[0].Corrected.Text("spo2Percent") != "91" ||
		taken[0].Corrected.At.Text != made.At.Text {
		t.Fatalf("%v", taken)
	}
	if page := v.get(t, to); !strings.Contains(page.body, "Corrected: ") {
		t.Error(page.body)
	}
}

// What was charted on the wrong infant is listed in words, then moves, all or none, once.
func TestWrongInfant(t *testing.T) {
	t.Parallel()
	b := newServer(t, nil)
	v, f := b.as(t, "nurse"), b.infant(t, true)
	twin := f.LookAlikes[0].Infant
	path, posted := v.open(t, f, "round")
	mustGoOn(t, v.post(t, path, with(posted, "observations.spo2Percent", "88", "settings.fio2Percent", "45")))
	before := b.head(t)
	now := b.fern.clock.Now().In(b.fern.policy.Zone)
	path = infantPath("fern", f.Infant) + "/wrong-infant"
	posted = with(shown(t, v.get(t, path).body), "to", twin, "since.time", now.Add(-time.Minute).Format("15:04"),
		"until.time", now.Add(time.Minute).Format("15:04"))
	if got := v.post(t, path, posted); got.status != http.StatusUnprocessableEntity {
		t.Error("no reason was asked for", got.status)
	}
	posted.Set("reason", "the twin's")
	got := v.post(t, path, posted)
	if !strings.Contains(got.body, "88") || b.head(t) != before {
		t.Fatal(got.status, got.body)
	}
	sure := with(shown(t, got.body), "sure", sureOf(got.body))
	for range 2 {
		if to := mustGoOn(t, v.post(t, path, sure)); to != infantPath("fern", twin) {
			t.Error(to)
		}
	}
	taken := b.since(t, before)
	if len(taken) != 4 || taken[0].Kind != "retraction" || taken[1].Infant != twin ||
		taken[1].Text("spo2Percent")+taken[1].Text("fio2Percent") == "" {
		t.Fatalf("%v", taken)
	}
}

// Who is charted and what she charted is traced, before it is taken; no value is.
func TestChartingIsTraced(t *testing.T) {
	t.Parallel()
	b := newServer(t, nil)
	v, f := b.as(t, "nurse"), b.infant(t, false)
	path, posted := v.open(t, f, "round")
	mustGoOn(t, v.post(t, path, with(posted, "observations.spo2Percent", "92")))
	r, err := b.access.Trace(
		t.Context(),
		console,
		from,
		"fern",
		access.About{Infant: f.Infant, Kinds: []access.EventKind{access.Charted}},
	)
	if err != nil || len(r.Events) != 1 || r.Events[0].What != "observations" || r.Events[0].Who != "nurse" {
		t.Errorf("%v, %v", r.Events, err)
	}
	before := b.head(t)
	path, posted = v.open(t, f, "round")
	b.Access.Store = failing{b.Access.Store}
	if got := v.post(t, path, with(posted, "observations.spo2Percent", "93")); got.status < 400 || b.head(t) != before {
		t.Error("taken without a trace", got.status)
	}
}

// A new infant is admitted with a key of its own, and is charted at once.
func TestAdmission(t *testing.T) {
	t.Parallel()
	b := newServer(t, nil)
	v, before := b.as(t, "nurse"), b.head(t)
	path := "/units/fern/chart/admission"
	posted := with(shown(t, v.get(t, path).body), "admission.born.day", b.fern.clock.Now().Format("2006-01-02"), "admission.cot", "C99",
		"admission.temporary", "Boy of cot C99")
	to := mustGoOn(t, v.post(t, path, posted))
	mustGoOn(t, v.post(t, path, posted))
	taken := b.since(t, before)
	if len(taken) != 1 || !strings.Contains(to, taken[0].Infant) {
		t.Fatalf("%v to %s", taken, to)
	}
	if got := v.get(t, to); got.status != http.StatusOK || !strings.Contains(got.body, "C99") {
		t.Error(got.status, got.body)
	}
}

// A note of the whole unit is charted and withdrawn without an infant.
func TestUnitNote(t *testing.T) {
	t.Parallel()
	b := newServer(t, nil)
	v, before := b.as(t, "nurse"), b.head(t)
	path := "/units/fern/chart/note"
	to := mustGoOn(t, v.post(t, path, with(shown(t, v.get(t, path).body), "note.text", "Oxygen works at 04:00")))
	page := v.get(t, to)
	if page.status != http.StatusOK || !strings.Contains(page.body, "Oxygen works") {
		t.Fatal(page.status, page.body)
	}
	note := b.since(t, before)[0]
	retract := entryPath("fern", "", note.ID, "retract")
	posted := shown(t, v.get(t, retract).body)
	mustGoOn(t, v.post(t, retract, with(posted, "reason", "it was put off")))
	if taken := b.since(t, before); len(taken) != 2 || taken[1].Kind != "retraction" {
		t.Errorf("%v", taken)
	}
}

// An alarm tells causes in the order of the unit's list, then one of her own, and what
// was found.
func TestAlarmRound(t *testing.T) {
	t.Parallel()
	b := newServer(t, nil)
	v, f := b.as(t, "nurse"), b.infant(t, false)
	before := b.head(t)
	path, posted := v.open(t, f, "alarm-now")
	list := b.fern.policy.Alarms["low-pressure"]
	own := fmt.Sprintf("alarm.tried.low-pressure.%d", len(list))
	posted = with(
		posted,
		"alarm.about",
		"low-pressure",
		"alarm.tried.low-pressure.0.found",
		"no",
		"alarm.tried.low-pressure.1.found",
		"yes",
		own+".cause",
		"lid",
		own+".found",
		"no",
		"alarm.action",
		"mask seated again",
		"alarm.settledAt.now",
		"yes",
	)
	wrong := with(posted, "alarm.tried.oxygen.0.found", "no")
	if got := v.post(t, path, wrong); got.status != http.StatusUnprocessableEntity {
		t.Error("a cause of another alarm was left out silently")
	}
	mustGoOn(t, v.post(t, path, posted))
	got := string(b.since(t, before)[0].AppendFields(nil))
	want := fmt.Sprintf(
		`,"about":"low-pressure","tried":[{"cause":%q,"found":false},{"cause":%q,"found":true},{"cause":"lid","found":false}],`+
			`"action":"mask seated again","settledAt":`,
		list[0],
		list[1],
	)
	if !strings.HasPrefix(got, want) {
		t.Errorf("%s\nnot %s", got, want)
	}
}

// A time that the clock shows twice is asked at its field, and the answer is taken.
func TestDoubleTime(t *testing.T) {
	t.Parallel()
	b := newServer(t, nil)
	f, zone := b.infant(t, false), b.fern.policy.Zone
	// The last Sunday of October after the demo's moment, in a zone of the European Union
	// (Directive 2000/84/EC): clocks go back at 01:00 UTC.
	back := time.Date(b.fern.clock.Now().Year(), 10, 31, 1, 0, 0, 0, time.UTC)
	for back.Weekday() != time.Sunday {
		back = back.AddDate(0, 0, -1)
	}
	b.fern.clock.set(back.Add(5 * time.Hour))
	v := b.as(t, "nurse")
	clock := back.Add(10 * time.Minute).In(zone).Format("15:04")
	before := b.head(t)
	path, posted := v.open(t, f, "observations")
	got := v.post(t, path, with(posted, "observations.spo2Percent", "92", "at.time", clock))
	if got.status != http.StatusUnprocessableEntity || strings.Count(got.body, `name="at.which"`) != 2 ||
		!strings.Contains(got.body, "twice") {
		t.Fatal(got.status, faultsOf(t, got.body))
	}
	second := entry.Stamp(back.Add(10*time.Minute), zone)
	mustGoOn(t, v.post(t, path, with(shown(t, got.body), "at.which", second)))
	if taken := b.since(t, before); len(taken) != 1 || taken[0].At.Text != second {
		t.Errorf("%v", taken)
	}
}
