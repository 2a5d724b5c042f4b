package journal

import (
	"slices"
	"strings"
	"time"

	"cotline/handover/entry"
)

// held is an entry with what the index keeps of it.
type held struct {
	*entry.Entry
	position int64
	sum      Hash // of its row
}

// base is what an index stands on: the store, or memory while a journal is
// verified. The same entries in the same order make the same of both.
type base interface {
	// item is a name's value, 0 when it has none.
	item(name string) (int64, Hash, error)
	setItem(name string, number int64, hash Hash) error
	// stream are the entries of a stream, proven to be all of them.
	stream(name string) ([]*held, error)
	// link gives a stream these entries after the first has of its own.
	link(stream string, has int64, more []*held) error
	// at is the entry at a position, all are those of every position.
	at(position int64) (*held, error)
	all() ([]*held, error)
}

// index finds entries by id, by infant and by what else a handover asks for. It
// holds nothing that the entries do not say.
//
//	id/ID        the row of an entry: its position, and the sum of the row
//	signed/ID    what a handover was signed on: the position, and the sum of it
//
// All else are streams, each an item too (how many, and the seal over their sums):
//
//	infants      the first entry of every infant
//	who/INFANT   what tells who and where an infant is, and on what: admission,
//	             identity, move, discharge, support
//	care/INFANT  all else of an infant. INFANT is the key in lower case
//	over/INFANT  handovers and acceptances that name it
//	note/MONTH   the unit's notes, by the UTC month in which they happened
//	task/ID      a task of the unit, and what says that it is done
//	of/ID        corrections and retractions of an entry of the unit
//	wait/ID      what came before the entry that it corrects or retracts
//	here/open, here/MONTH, todo/open, todo/MONTH: see span
//
// A correction or retraction stands in every stream that what it names stands in,
// and takes it along into those that the corrected content belongs to. So who
// reads a stream has each entry of it as it stands.
type index struct{ base }

// kinds of the stream who/.
var whoKinds = []string{"admission", "identity", "move", "discharge", "support"}

// add puts an entry, the next by position, into the index.
func (x index) add(h *held) error {
	if err := x.setItem("id/"+h.ID, h.position, h.sum); err != nil {
		return err
	}
	if err := x.place(h); err != nil {
		return err
	}
	waiting, err := x.stream("wait/" + h.ID)
	if err != nil {
		return err
	}
	for _, w := range waiting {
		if err := x.place(w); err != nil {
			return err
		}
	}
	return nil
}

// place links an entry into its streams.
func (x index) place(h *held) error {
	of, missing, err := x.original(h)
	switch {
	case err != nil:
		return err
	case missing != "":
		return x.append("wait/"+missing, h)
	case h.Infant != "":
		return x.placeInfants(h, of)
	case of == h:
		return x.intoAll(contents(h.Entry, h.Entry), h)
	}
	return x.amend(h, of)
}

// original is the entry that an amendment is of, or the id that is still missing;
// of any other entry it is itself.
func (x index) original(h *held) (of *held, missing string, err error) {
	for of = h; amends(of.Entry); {
		id := of.Reference("of")
		if of, err = x.byID(id); of == nil {
			return nil, id, err
		}
	}
	return of, "", nil
}

func amends(e *entry.Entry) bool { return e.Kind == "correction" || e.Kind == "retraction" }

func (x index) byID(id string) (*held, error) {
	position, _, err := x.item("id/" + id)
	if err != nil || position == 0 {
		return nil, err
	}
	return x.at(position)
}

func (x index) placeInfants(h, of *held) error {
	key := strings.ToLower(h.Infant)
	stream := "care/" + key
	if slices.Contains(whoKinds, of.Kind) {
		stream = "who/" + key
	}
	known, err := x.known(key)
	if err != nil {
		return err
	}
	if known == nil {
		if err := x.append("infants", h); err != nil {
			return err
		}
	}
	if err := x.append(stream, h); err != nil || stream != "who/"+key {
		return err
	}
	return x.spanInfant(key)
}

// known is an entry of an infant, nil when there is none.
func (x index) known(key string) (*held, error) {
	for _, stream := range []string{"who/", "care/"} {
		n, _, err := x.item(stream + key)
		if err != nil {
			return nil, err
		}
		if n > 0 {
			all, err := x.stream(stream + key)
			if err != nil {
				return nil, err
			}
			return all[0], nil
		}
	}
	return nil, nil
}

// contents are the streams that an entry of the unit belongs to by what it holds,
// or holds by a correction.
func contents(e, as *entry.Entry) (streams []string) {
	switch as.Kind {
	case "handover", "acceptance":
		for _, key := range as.List("infants") {
			if s := "over/" + strings.ToLower(key.Text); !slices.Contains(streams, s) {
				streams = append(streams, s)
			}
		}
	case "task":
		streams = []string{"task/" + e.ID}
	case "task-done":
		streams = []string{"task/" + as.Reference("task")}
	default:
		streams = []string{"note/" + month(as.At.Time)}
	}
	return streams
}

func month(t time.Time) string { return t.UTC().Format("2006-01") }

// amend links an amendment of an entry of the unit, and takes along what it is of.
func (x index) amend(h, of *held) error {
	before, err := x.stream("of/" + of.ID)
	if err != nil {
		return err
	}
	had := contents(of.Entry, of.Entry)
	for _, a := range before {
		had = union(had, corrected(a, of))
	}
	now := union(had, corrected(h, of))
	for _, s := range now[len(had):] {
		for _, e := range append([]*held{of}, before...) {
			if err := x.append(s, e); err != nil {
				return err
			}
		}
	}
	if err := x.append("of/"+of.ID, h); err != nil {
		return err
	}
	return x.intoAll(now, h)
}

func corrected(a, of *held) []string {
	if a.Corrected == nil {
		return nil
	}
	return contents(of.Entry, a.Corrected)
}

func union(a, b []string) []string {
	out := slices.Clone(a)
	for _, s := range b {
		if !slices.Contains(out, s) {
			out = append(out, s)
		}
	}
	return out
}

func (x index) intoAll(streams []string, h *held) error {
	for _, s := range streams {
		if err := x.append(s, h); err != nil {
			return err
		}
		if id, ok := strings.CutPrefix(s, "task/"); ok {
			if err := x.spanTask(id); err != nil {
				return err
			}
		}
	}
	return nil
}

// append adds an entry to the end of a stream.
func (x index) append(stream string, h *held) error {
	n, seal, err := x.item(stream)
	if err != nil {
		return err
	}
	if err := x.link(stream, n, []*held{h}); err != nil {
		return err
	}
	return x.setItem(stream, n+1, seal.then(h.sum))
}

// replace gives a stream other entries.
func (x index) replace(stream string, all []*held) error {
	var seal Hash
	for _, h := range all {
		seal = seal.then(h.sum)
	}
	if err := x.link(stream, 0, all); err != nil {
		return err
	}
	return x.setItem(stream, int64(len(all)), seal)
}
