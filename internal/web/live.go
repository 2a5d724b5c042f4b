package web

import (
	"context"
	"errors"
	"log/slog"
	"maps"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"cotline/handover"
	"cotline/handover/entry"
	"cotline/internal/journal"
)

// fresh is how much older than asked for what is compiled may be for a page to be shown
// from it, while it is compiled anew beside that.
const fresh = 2 * time.Minute

// Live keeps what is compiled of a unit's infants, and brings it up to date by what is
// new in the journal, whoever wrote it: of an infant with new entries that one is
// compiled anew, of one whose place, name or support changed everybody, since others are
// told apart by it. Time passing changes what is due: everybody is compiled for the end
// of each minute in which somebody looks, by a reading that the first to look begins and
// nobody waits for, unless nobody looked for longer than fresh.
type Live struct {
	Journal *journal.Journal
	Now     func() time.Time
	Log     *slog.Logger

	mu       sync.Mutex // one brings up to date, the others wait for it
	kept     *kept
	shown    atomic.Pointer[Snapshot]
	renewing atomic.Bool
	renewals sync.WaitGroup
	handed   handed
}

// kept is what the next snapshot is made from.
type kept struct {
	cursor  journal.Cursor
	reading journal.Reading // policies and findings; its entries stand below
	policy  *handover.Policy
	read    time.Time // when all of it was read
	unit    []*entry.Entry
	infants map[string]*entries
	places  map[string]int64 // positions of entries
	shared  []placed         // what each handover is compiled with: the unit's, and who everybody is
	signed  map[string]int64
}

// entries of an infant: those that tell who and where it is, and all else. They are only
// added to, so a snapshot keeps what it saw.
type entries struct {
	who, care []*entry.Entry
	placed    []placed // care
}

// placed is an entry with its position in the record. What the unit signed and accepted is
// about the infants that it names, until it is amended; all else is about everybody.
type placed struct {
	entry *entry.Entry
	at    int64
	about map[string]bool // nil: everybody
}

// tells says whether any of some infants must be compiled with an entry.
func (x placed) tells(only []string) bool {
	return x.about == nil || only == nil ||
		slices.ContainsFunc(only, func(key string) bool { return x.about[key] })
}

// errGone says that an infant is not among those who are here.
var errGone = errors.New("there is no such infant here")

// Look is the unit as it stands, with everything that was durable before it was asked
// for.
func (l *Live) Look(ctx context.Context) (*Snapshot, error) {
	at := endOfMinute(l.Now())
	l.mu.Lock()
	defer l.mu.Unlock()
	snap := l.shown.Load()
	again, err := l.learn(ctx, at)
	switch {
	case err != nil:
		return nil, err
	case again.all || snap == nil || at.Sub(snap.oldest) > fresh || at.Before(snap.At):
		snap = l.kept.compile(at)
	case len(again.infants) > 0 || again.unit:
		snap = l.kept.renew(snap, at, again)
	}
	l.shown.Store(snap)
	if !at.Equal(snap.oldest) {
		l.renew()
	}
	return snap, nil
}

// endOfMinute is the moment that is compiled for: what is charted in a minute is seen in
// it, and one compilation serves all of it. A moment on the minute is itself.
func endOfMinute(t time.Time) time.Time {
	if on := t.Truncate(time.Minute); !on.Equal(t) {
		return on.Add(time.Minute)
	}
	return t
}

// again is what must be compiled anew.
type again struct {
	all, unit bool
	infants   map[string]bool
}

// learn reads what is new.
func (l *Live) learn(ctx context.Context, at time.Time) (again, error) {
	if l.kept == nil || l.kept.stale(at) {
		return again{all: true}, l.read(ctx, at)
	}
	if len(l.kept.reading.Findings) > 0 { // of a damaged record nothing can be followed
		return again{}, nil
	}
	tail, err := l.Journal.After(ctx, l.kept.cursor)
	switch {
	case errors.Is(err, journal.ErrAnew), errors.Is(err, journal.ErrDamaged):
		return again{all: true}, l.read(ctx, at)
	case err != nil:
		return again{}, err
	}
	new, known := l.kept.add(tail)
	if !known {
		return again{all: true}, l.read(ctx, at)
	}
	return new, nil
}

// stale says whether all must be read anew: each day, for those who left to go, and of a
// damaged record each minute.
func (k *kept) stale(at time.Time) bool {
	age := at.Sub(k.read)
	return age >= 24*time.Hour || age < 0 || len(k.reading.Findings) > 0 && age >= time.Minute
}

// read reads everybody who is here.
func (l *Live) read(ctx context.Context, at time.Time) error {
	r, cursor, err := l.Journal.Here(ctx, at)
	if err != nil {
		return err
	}
	if r.Policies.Now == nil {
		return r.Policies.Err
	}
	if len(r.Findings) > 0 {
		l.Log.Error("the record is not what was taken: run cotline verify, and hold against paper", "finding", r.Findings[0].String())
	}
	k := &kept{cursor: cursor, reading: r, policy: r.Policies.Now, read: at, infants: map[string]*entries{}, places: map[string]int64{},
		signed: r.Signed}
	for n, e := range r.Entries {
		k.places[e.ID] = r.Positions[n]
	}
	k.put(r.Entries)
	k.reading.Entries, k.reading.Positions, k.reading.Signed = nil, nil, nil
	l.kept = k
	return nil
}

// put sorts entries by infant; what amends follows what it amends.
func (k *kept) put(all []*entry.Entry) {
	kinds := map[string]string{}
	for _, e := range all {
		if !e.Amends() {
			kinds[e.ID] = e.Kind
		}
	}
	for _, e := range all {
		k.of(e, kinds[e.Reference("of")])
	}
}

// of keeps one entry; amended is the kind of what it amends, empty where that is not known.
func (k *kept) of(e *entry.Entry, amended string) (who bool) {
	place := placed{entry: e, at: k.places[e.ID]}
	if e.Infant == "" {
		switch {
		case e.Kind == "handover", e.Kind == "acceptance":
			place.about = map[string]bool{}
			for _, key := range e.List("infants") {
				place.about[key.Text] = true
			}
		case e.Amends():
			for i, x := range k.shared {
				if strings.EqualFold(x.entry.ID, e.Reference("of")) {
					k.shared[i].about = nil
				}
			}
		}
		k.unit, k.shared = append(k.unit, e), append(k.shared, place)
		return false
	}
	x := k.infants[e.Infant]
	if x == nil {
		x = &entries{}
		k.infants[e.Infant] = x
	}
	who = journal.TellsWho(e.Kind) || e.Amends() && (amended == "" || journal.TellsWho(amended))
	if who {
		x.who, k.shared = append(x.who, e), append(k.shared, place)
	} else {
		x.care, x.placed = append(x.care, e), append(x.placed, place)
	}
	return who
}

// add keeps what is new. It is not known where it is of an infant that was not read, or
// amends what was not.
func (k *kept) add(tail journal.Tail) (new again, known bool) {
	new.infants = map[string]bool{}
	maps.Copy(k.places, tail.Positions)
	for _, e := range tail.Entries {
		amended := ""
		if e.Amends() {
			of := k.find(e.Infant, e.Reference("of"))
			if of == nil {
				return new, false
			}
			amended = of.Kind
		}
		switch {
		case e.Infant != "" && k.infants[e.Infant] == nil: // new, or here before
			return new, false
		case e.Infant == "" && (e.Kind == "handover" || e.Kind == "acceptance"):
			for _, key := range e.List("infants") {
				new.infants[key.Text] = true
			}
		case e.Infant == "":
			new.unit, new.all = true, new.all || e.Amends()
		}
		new.all = k.of(e, amended) || new.all
		if e.Infant != "" {
			new.infants[e.Infant] = true
		}
	}
	maps.Copy(k.signed, tail.Signed)
	k.cursor, k.reading.Head, k.reading.Clock = tail.Cursor, tail.Head, tail.Clock
	return new, true
}

// find is an entry by its id, with what it amends followed to the end; nil where it was
// not read.
func (k *kept) find(infant, id string) *entry.Entry {
	all := k.unit
	if x := k.infants[infant]; x != nil && infant != "" {
		all = slices.Concat(x.who, x.care)
	}
	i := slices.IndexFunc(all, func(e *entry.Entry) bool { return e.ID == id })
	switch {
	case i < 0:
		return nil
	case all[i].Amends():
		return k.find(infant, all[i].Reference("of"))
	}
	return all[i]
}

// renew compiles everybody for the present minute, beside what is shown until then.
func (l *Live) renew() {
	if !l.renewing.CompareAndSwap(false, true) {
		return
	}
	l.renewals.Add(1)
	go func() {
		defer l.renewals.Done()
		defer l.renewing.Store(false)
		defer func() {
			if recover() != nil { // the next page is compiled where it is asked for, and says so
				l.shown.Store(nil)
				l.Log.Error("a fault of the program in compiling the ward")
			}
		}()
		l.mu.Lock()
		k := l.kept.clone()
		l.mu.Unlock()
		at := endOfMinute(l.Now())
		snap := k.compile(at)
		l.mu.Lock()
		defer l.mu.Unlock()
		if l.kept != nil && l.kept.cursor == k.cursor {
			l.shown.Store(snap)
		}
	}()
}

// clone is what is kept, to compile from while it is added to.
func (k *kept) clone() *kept {
	c := *k
	c.infants = make(map[string]*entries, len(k.infants))
	for key, x := range k.infants {
		own := *x
		c.infants[key] = &own
	}
	c.shared = slices.Clone(k.shared)
	c.places, c.signed = maps.Clone(k.places), maps.Clone(k.signed)
	return &c
}

// Close waits for what is still compiled.
func (l *Live) Close() { l.renewals.Wait() }
