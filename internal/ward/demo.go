package ward

import (
	"math/rand/v2"
	"slices"
	"time"
)

// Rooms of the demo ward.
const (
	fern   = iota // Fern 1 to 4
	middle        // Fern 5 and 6, Moss 7 and 8
	moss          // Moss 9 to 12
)

// dawn is when the scenario begins in full: earlier days hold what was carried over from paper.
const dawn = "21 07:35"

// demoWard is the whole scenario, in the order of moments.
func demoWard() []entry {
	b := &scenario{
		rooms: []room{
			fern:   {day: "rn-agate", night: "rn-dune"},
			middle: {day: "rn-birch", night: "rn-elder"},
			moss:   {day: "rn-comet", night: "rn-frost"},
		},
		covers: []cover{{fern, when("25 03:05"), when("25 03:35"), "rn-frost"}},
	}
	twins(b)
	rime(b)
	hail(b)
	haze(b)
	thaw(b)
	sleet(b)
	unnamed(b)
	drizzle(b)
	monsoon(b)
	gust(b)
	breeze(b)
	mizzle(b)
	b.unit()
	b.handOver()
	slices.SortFunc(b.entries, byMoment)
	return b.entries
}

// unit charts what concerns everybody.
func (b *scenario) unit() {
	u := &chart{scenario: b, room: fern, r: rand.New(rand.NewPCG(20261025, 1000))}
	u.at(
		"21 07:40",
		note{
			Text: "From this morning everything is charted here. " +
				"What came before was carried over from paper: stays, weights, heads, set-up.",
		},
	)
	hoses := u.at("22 09:30", task{Text: "order hoses: two sets left", DueAt: stamp(when("23 12:00"))})
	u.at("23 11:10", taskDone{hoses})
	u.at(
		"24 19:50",
		note{Text: "The clock goes back tonight: at three it is two again. Rounds go by hours that have passed, not by the clock."},
	)
	u.at("24 20:00", task{Text: "set the clock over the sluice door back", DueAt: stamp(when("25 08:00"))})
	u.at(
		"25 04:40",
		note{Text: "Moss 9: much of the night is still on paper, to be charted by the night nurse before she leaves.", ReadOut: true},
	)
}

// handOver signs each room over at each change of shift, and once for a break.
func (b *scenario) handOver() {
	r := rand.New(rand.NewPCG(20261025, 1001))
	asked := map[string]string{ // by room and change of shift
		stamp(when("24 19:37")): "What to do if Squall needs more than 40: call at once, gas first.",
		stamp(when("24 19:41")): "Whether the boy in Moss 11 may go on his mother in the night: yes, skin looked at before and after.",
	}
	for change := when("21 19:37"); change.Before(when("25 00:00")); change = change.Add(12 * time.Hour) {
		for i, room := range b.rooms {
			t := change.Add(minutes(2 * i))
			from, to := room.nurse(isDay(t.Add(-minutes(30)))), room.nurse(isDay(t.Add(minutes(30))))
			signed := b.sign(r, signature{To: to, AsOf: stamp(t.Add(-minutes(2))), Infants: room.present(t)}, from, t)
			b.accept(
				r,
				signed,
				acceptance{Confirmed: room.confirmed(t), ReadBack: true, Asked: asked[stamp(t)]},
				t.Add(minutes(3+r.IntN(5))),
			)
		}
	}
	// The infant just born was to go to another nurse, while two came at once; nobody charted that she took her over.
	b.sign(r, signature{To: "rn-frost", AsOf: stamp(when("25 03:38")), Infants: []string{"in-08"}}, "rn-elder", when("25 03:40"))
	for _, c := range b.covers {
		t, room := c.from.Add(-minutes(4)), b.rooms[c.room]
		signed := b.sign(r, signature{To: c.nurse, AsOf: stamp(t.Add(-minutes(2))), Infants: room.present(t), Cover: true}, room.night, t)
		b.accept(r, signed, acceptance{}, t.Add(minutes(3)))
	}
}

func (b *scenario) sign(r *rand.Rand, h signature, by string, t time.Time) entry {
	e := entry{id: newID(r), at: t, charted: t, by: by, fields: h}
	b.entries = append(b.entries, e)
	return e
}

// accept charts that the incoming nurse takes over every infant whom a handover names.
func (b *scenario) accept(r *rand.Rand, signed entry, a acceptance, t time.Time) {
	h := signed.fields.(signature)
	a.Handover, a.Infants = signed.id, h.Infants
	b.entries = append(b.entries, entry{id: newID(r), at: t, charted: t, by: h.To, fields: a})
}

// present are the infants of a room who are admitted at a moment.
func (r room) present(t time.Time) []string {
	var out []string
	for _, c := range r.infants {
		if !c.admitted.After(t) && (c.left.IsZero() || c.left.After(t)) {
			out = append(out, c.key)
		}
	}
	return out
}

// confirmed is what the incoming nurse looks at herself, by what applies to each infant.
func (r room) confirmed(t time.Time) map[string][]string {
	out := map[string][]string{}
	for _, c := range r.infants {
		switch mode := c.mode(t); {
		case !slices.Contains(r.present(t), c.key) || mode == "":
		case mode == "high-flow":
			out[c.key] = []string{"fio2", "interface", "skin", "tube"}
		default:
			out[c.key] = []string{"pressure", "fio2", "interface", "skin", "tube"}
		}
	}
	return out
}
