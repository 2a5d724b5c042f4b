package journal

import (
	"crypto/sha256"
	"runtime"
	"slices"
	"sync"

	"cotline/handover/entry"
)

// parsed is a row held to itself: what it says, and what of it is wrong whatever stands before it.
type parsed struct {
	entry *entry.Entry // nil: it cannot be read
	text  Hash
	wrong []string
}

func (r Row) parse() parsed {
	text := []byte(r.Text)
	p := parsed{text: sha256.Sum256(text)}
	e, err := r.entryOf(text)
	if err != nil {
		p.wrong = []string{err.Error()}
		return p
	}
	if string(e.AppendCanonical(text[:0])) != r.Text {
		p.wrong = append(p.wrong, "the text is not in its canonical form")
	}
	if e.ID != r.ID || e.Infant != r.Infant || e.Kind != r.Kind {
		p.wrong = append(p.wrong, "id, infant or kind beside the text are not those in it")
	}
	p.entry = e
	return p
}

// parsedAtOnce is how many rows are parsed beside one another: enough that what it takes to
// begin and to end does not count, and little memory.
const parsedAtOnce = 1024

// parsing is rows that are parsed on all cores.
type parsing struct {
	rows  []Row
	says  []parsed
	group sync.WaitGroup
}

func (p *parsing) begin() {
	p.says = slices.Grow(p.says[:0], len(p.rows))[:len(p.rows)]
	cores := runtime.GOMAXPROCS(0)
	for first := range cores {
		p.group.Go(func() {
			for n := first; n < len(p.rows); n += cores {
				p.says[n] = p.rows[n].parse()
			}
		})
	}
}

func (p *parsing) end(do func(Row, parsed)) {
	p.group.Wait()
	for n, row := range p.rows {
		do(row, p.says[n])
	}
	p.rows = p.rows[:0]
}

// eachParsed calls with each row in its order. Parsing is most of what reading costs: some rows
// are parsed while the next are read.
func eachParsed(v View, do func(Row, parsed)) error {
	now, before := new(parsing), new(parsing)
	next := func() {
		now.begin()
		before.end(do)
		now, before = before, now
	}
	err := v.Rows(func(row Row) error {
		if now.rows = append(now.rows, row); len(now.rows) == parsedAtOnce {
			next()
		}
		return nil
	})
	next()
	before.end(do)
	return err
}
