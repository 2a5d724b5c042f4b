package web

import (
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"errors"
	"maps"
	"regexp"
	"slices"
	"time"

	"cotline/handover"
	"cotline/handover/entry"
	"cotline/internal/access"
	"cotline/internal/journal"
	"cotline/internal/page"
	"cotline/internal/web/forms"
	"cotline/internal/web/words"
)

// printForm asks what is printed: the own infants, unless others are chosen.
type printForm struct {
	Path    string
	Infants []forms.Option
	PDF     bool // a browser is installed that makes one
	Shown   string
	Until   string // when paper is to be destroyed
	Signed  string // id of the handover that can be printed as it was signed; empty: of none
}

func (h *handingOver) printForm() *printForm {
	p := &printForm{Path: handoversPath(h.r.unit) + "/print", PDF: h.PDF != nil, Shown: h.r.who.Shown,
		Until: h.clock(h.policy.ShiftEnd(h.now))}
	own := h.tookOver()
	for _, f := range h.snap.handover.Infants {
		c := h.cot(f)
		p.Infants = append(p.Infants, forms.Option{Value: f.Infant, Label: words.Say("cot %s, %s", page.Plain(c.Cot), page.Plain(c.Name)),
			Checked: slices.Contains(own, f.Infant)})
	}
	return p
}

// longestPrinter is how many characters of who prints have room in the margin of a sheet.
const longestPrinter = 40

// printHandover makes paper of the infants chosen, as a page or a PDF, and traces it.
func printHandover(s *Server, r *request) (answer, error) {
	h, err := s.handingOver(r)
	if err != nil {
		return answer{}, err
	}
	pdf := h.posted.Get("form") == "pdf"
	chosen := slices.DeleteFunc(slices.Clone(h.posted["infant"]), func(key string) bool { return h.forInfant(key) == nil })
	if len(chosen) == 0 && h.posted.Get("signed") == "" || pdf && s.PDF == nil {
		return h.noPaper(words.Say("Go back and choose the infants to print.")), nil
	}
	shown := []rune(r.who.Shown)
	o := page.Options{PrintedBy: string(shown[:min(len(shown), longestPrinter)]), Initials: h.posted.Get("initials") != "",
		Full: h.posted.Get("full") != "", Paper: page.Papers[0]}
	if id := h.posted.Get("signed"); id != "" {
		return h.printSigned(id, o, pdf)
	}
	told := h.snap.handover.Of(func(infant, _ string) bool { return slices.Contains(chosen, infant) })
	ward := handover.Ward{Policy: h.policy}
	for _, key := range chosen {
		x := h.snap.infants[key].entries
		ward.Entries = slices.Concat(ward.Entries, x.who, x.care)
	}
	slices.Sort(chosen)
	return h.paper(told, ward, o, pdf, chosen, "")
}

// printSigned makes paper of a handover as it was signed, if it still comes out so.
func (h *handingOver) printSigned(id string, o page.Options, pdf bool) (answer, error) {
	x := h.all.find(id)
	if x == nil {
		return answer{}, errNotThere
	}
	other := words.Say("It does not come out as it was signed. What was signed is kept to the byte: cotline handover --signed prints it.")
	on, found, err := h.signedOn(x)
	if err != nil {
		return answer{}, err
	}
	if !found {
		return h.noPaper(other), nil
	}
	cut, err := h.journal.Again(h.r.Context(), on)
	if errors.Is(err, journal.ErrDamaged) || errors.Is(err, journal.ErrNotAsSigned) {
		return h.noPaper(other), nil
	}
	if err != nil {
		return answer{}, err
	}
	told := handover.Compile(cut.Ward, cut.At, cut.Known, time.Time{})
	journal.Reading{Head: cut.Head}.Tell(told)
	infants := x.infants()
	slices.Sort(infants)
	return h.paper(told, cut.Ward, o, pdf, infants, ", as signed")
}

func (h *handingOver) noPaper(why string) answer {
	title := words.Say("Nothing was printed")
	return answer{status: 422, page: "refused", title: title, data: refused{title, why, h.r.id}}
}

// paper makes the page or the PDF, and traces it.
func (h *handingOver) paper(
	told *handover.Handover,
	ward handover.Ward,
	o page.Options,
	pdf bool,
	infants []string,
	as string,
) (answer, error) {
	what := map[bool]string{false: "html", true: "pdf"}[pdf]
	if err := h.Access.Note(h.r.Context(), h.r.who, h.r.from, access.Event{Unit: h.r.unit, Kind: access.Printed,
		What: what + as, Infants: infants}); err != nil {
		return answer{}, err
	}
	var text bytes.Buffer
	if err := page.HTML(&text, told, ward, o); err != nil {
		return answer{}, err
	}
	name := fileName(h.r.unit, told.At, told.Zone, what)
	if !pdf {
		return answer{body: text.Bytes(), kind: "text/html; charset=utf-8", header: map[string]string{
			"Content-Security-Policy": paperPolicy(text.Bytes()), "Content-Disposition": `inline; filename="` + name + `"`}}, nil
	}
	made, err := h.PDF(h.r.Context(), text.Bytes())
	if err != nil {
		h.Log.Error("no PDF was made", "request", h.r.id)
		title, next := words.Say("No PDF was made"), words.Say("Go back, open the page for paper, and print it from this browser.")
		return answer{status: 503, page: "refused", title: title, data: refused{title, next, h.r.id}}, nil
	}
	return answer{
		body:   made,
		kind:   "application/pdf",
		header: map[string]string{"Content-Disposition": `inline; filename="` + name + `"`},
	}, nil
}

var styles = regexp.MustCompile(`(?s)<style>(.*?)</style>`)

// paperPolicy lets a page for paper have its own style sheet, and nothing else: by its
// hash (CSP Level 3, section 8.3), so that nothing that was charted could add one.
func paperPolicy(text []byte) string {
	sheets := map[string]bool{}
	for _, m := range styles.FindAllSubmatch(text, -1) {
		sum := sha256.Sum256(m[1])
		sheets["'sha256-"+base64.StdEncoding.EncodeToString(sum[:])+"'"] = true
	}
	out := "default-src 'none'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'; style-src"
	for _, hash := range slices.Sorted(maps.Keys(sheets)) {
		out += " " + hash
	}
	return out
}

// fileName is that of a file that leaves: unit and moment, nobody's name.
func fileName(unit string, at time.Time, zone *time.Location, form string) string {
	clean := []rune{}
	for _, c := range unit {
		if entry.IsKey(string(c)) {
			clean = append(clean, c)
		}
	}
	return "handover-" + string(clean) + "-" + at.In(zone).Format("20060102-1504") + "." + form
}
