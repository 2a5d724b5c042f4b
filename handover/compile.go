package handover

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"maps"
	"slices"
	"strings"
	"time"

	"cotline/handover/entry"
)

// Ward is what a handover is compiled from.
type Ward struct {
	Entries []*entry.Entry // every entry, in any order, charted stamped
	Policy  *Policy
	// Positions of entries in a stored record, by id; nil for a plain file.
	Positions map[string]int64
	// Signed is the journal position that each handover was cut at, by its id.
	Signed map[string]int64
}

// Compile makes the handover of every infant admitted at a moment, from what
// had been written down by known. Since, when not zero, starts every window.
// The result is the single source of every face; it depends on nothing else.
func Compile(w Ward, at, known, since time.Time) *Handover {
	p := w.Policy
	byInfant := map[string][]*entry.Entry{}
	for _, e := range w.Entries {
		byInfant[e.Infant] = append(byInfant[e.Infant], e)
	}
	unit := newUnitReading(p, entry.Replay(byInfant[""], known).Unit, at)
	h := &Handover{Unit: p.Unit, Zone: p.Zone, At: at, Known: known, Policy: p.Hash(), Late: []Late{}, Left: []Left{}}
	var readings []*reading
	for _, key := range slices.Sorted(maps.Keys(byInfant)) {
		if key == "" {
			continue
		}
		record := only(entry.Replay(byInfant[key], known), key)
		stays := record.Stays(at)
		if len(stays) == 0 {
			continue
		}
		stay := stays[len(stays)-1]
		r := newReading(p, record, stay, at)
		var from *signedHandover
		r.since = since
		if since.IsZero() {
			r.since = p.shiftStart(at)
			if from = unit.accepted(key, stay, at); from != nil {
				r.since = from.asOf
			}
		}
		if stay.Discharge != nil {
			if r.inWindow(stay.Discharge.At.Time) {
				h.Left = append(h.Left, r.left())
			}
			continue
		}
		s := r.summary()
		r.compare(s, byInfant[key], known)
		h.Infants = append(h.Infants, s)
		readings = append(readings, r)
		if from != nil && w.Positions != nil {
			h.Late = append(h.Late, late(key, byInfant[key], from, known, w)...)
		}
	}
	unit.since = since
	if since.IsZero() {
		unit.since = p.shiftStart(at)
	}
	h.Notes, h.Tasks = unit.notesFact(), unit.tasksFact()
	together(h, readings)
	slices.SortStableFunc(h.Infants, func(a, b *Summary) int { return byCot(a.Cot, b.Cot) })
	slices.SortStableFunc(h.Left, func(a, b Left) int { return byCot(a.Cot, b.Cot) })
	return h
}

// Hash is the SHA-256 of the canonical policy.
func (p *Policy) Hash() string {
	sum := sha256.Sum256(p.Canonical())
	return hex.EncodeToString(sum[:])
}

func only(records *entry.Records, key string) *entry.Record {
	for _, r := range records.Infants {
		if r.Infant == key {
			return r
		}
	}
	return &entry.Record{Infant: key}
}

// late are the entries charted by the asOf of the handover that the window
// starts from, whose position lies after the one it was cut at.
func late(infant string, entries []*entry.Entry, from *signedHandover, known time.Time, w Ward) []Late {
	cut, ok := w.Signed[from.entry.ID]
	if !ok {
		cut = w.Positions[from.entry.ID]
	}
	var found []*entry.Entry
	for _, e := range entries {
		if !e.Charted.After(from.asOf) && !e.Charted.After(known) && w.Positions[e.ID] > cut {
			found = append(found, e)
		}
	}
	slices.SortFunc(found, entry.Order)
	var out []Late
	for _, e := range found {
		at := e.At
		if e.Corrected != nil {
			at = e.Corrected.At
		}
		out = append(out, Late{Infant: infant, Kind: e.Kind, Entry: e.ID, By: e.By, At: at.Time, Charted: e.Charted.Time})
	}
	return out
}

// summary computes everything about one infant but what needs the whole ward.
func (r *reading) summary() *Summary {
	r.misnamed()
	s := &Summary{
		Infant: r.record.Infant, Cot: r.cotEntry().Text("cot"), MRN: r.identity("mrn"),
		Sex: r.identity("sex"), Mother: r.identity("mother"), Visit: r.visit(),
		BirthOrder: r.identity("birthOrder"), Multiples: r.identity("multiples"), Since: r.since,
	}
	if s.MRN == "" {
		s.Temporary = r.identity("temporary")
	}
	if e := r.identified("restricted"); e != nil && e.Flag("restricted") {
		s.Restricted = true
	} else {
		s.Family, s.Given, s.Formerly = r.identity("family"), r.identity("given"), r.formerly()
	}
	s.Age = r.ageFact()
	s.Support = r.supportFact()
	s.Settings = r.settingsFact()
	s.FiO2, s.SpO2, s.Indices = r.fio2Fact(), r.spo2Fact(), r.indicesFact()
	s.Observations, s.Silverman, s.Episodes = r.observedFact(), r.silvermanFact(), r.episodesFact()
	s.Weight, s.BirthWeight = r.weightFact(), r.birthWeightFact()
	s.Interface, s.Rotation, s.HoursUnder = r.interfaceFact(), r.rotationFact(), r.hoursFact()
	s.Skin = r.skinFact()
	s.Tubes = r.tubesFact()
	s.Head, s.Bonnet = r.headFact(), r.bonnetFact()
	s.Humidifier, s.Setup = r.humidifierFact(), r.setupFact()
	s.Cares, s.Alarms, s.Outlook = r.caresFact(), r.alarmsFact(), r.outlookFact()
	s.Notes, s.Tasks, s.Plans = r.notesFact(), r.tasksFact(), r.plansFact()
	s.Due = r.dueFact(s)
	s.Thresholds = r.thresholdsFact(s)
	s.Gaps = gapsOf(s)
	s.Remarks = r.remarks
	return s
}

// visit is the hospital's number of this stay.
func (r *reading) visit() string {
	e := latest(r.all, func(e *entry.Standing) bool {
		return (e.Kind == "admission" || e.Kind == "identity") && e.Has("visit") && r.stay.Holds(e)
	})
	if e == nil {
		return ""
	}
	return e.Text("visit")
}

// compare tells what changed since the window began.
func (r *reading) compare(s *Summary, entries []*entry.Entry, known time.Time) {
	s.Changes = []Change{}
	before := only(entry.Replay(entries, r.since), r.record.Infant)
	stay := before.Admitted(r.since)
	if stay == nil {
		s.New = true
		return
	}
	then := newReading(r.p, before, stay, r.since)
	then.since = r.since
	was := then.comparable(then.summary())
	amended := slices.ContainsFunc(entries, func(e *entry.Entry) bool {
		return e.Amends() && e.Charted.After(r.since) && !e.Charted.After(known)
	})
	s.Changes = r.changesOf(r.comparable(s), was, before, amended)
}

func (r *reading) left() Left {
	d := r.stay.Discharge
	l := Left{Infant: r.record.Infant, Cot: r.cotEntry().Text("cot"), MRN: r.identity("mrn"),
		To: d.Text("to"), Place: d.Text("place"), Source: r.source(d)}
	if l.MRN == "" {
		l.Temporary = r.identity("temporary")
	}
	if e := r.identified("restricted"); e != nil && e.Flag("restricted") {
		l.Restricted = true
	} else {
		l.Family, l.Given = r.identity("family"), r.identity("given")
	}
	return l
}

// byCot orders cots: digits inside words as numbers.
func byCot(a, b string) int {
	for a != "" && b != "" {
		x, restA := piece(a)
		y, restB := piece(b)
		if isDigit(x[0]) && isDigit(y[0]) {
			x, y = strings.TrimLeft(x, "0"), strings.TrimLeft(y, "0")
			if c := cmp.Compare(len(x), len(y)); c != 0 {
				return c
			}
		}
		if c := cmp.Compare(x, y); c != 0 {
			return c
		}
		a, b = restA, restB
	}
	return cmp.Compare(len(a), len(b))
}

func isDigit(c byte) bool { return c >= '0' && c <= '9' }

// piece splits off a run of digits, or of anything else.
func piece(s string) (first, rest string) {
	i := 1
	for i < len(s) && isDigit(s[i]) == isDigit(s[0]) {
		i++
	}
	return s[:i], s[i:]
}
