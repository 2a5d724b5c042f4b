package journal

import (
	"crypto/sha256"
	"runtime"
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
	p := parsed{text: sha256.Sum256([]byte(r.Text))}
	e, err := r.entry()
	if err != nil {
		p.wrong = []string{err.Error()}
		return p
	}
	if string(e.AppendCanonical(make([]byte, 0, len(r.Text)))) != r.Text {
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

// eachParsed calls with each row in its order. Parsing is most of what reading costs, and is
// done on all cores.
func eachParsed(v View, do func(Row, parsed)) error {
	rows, says := make([]Row, 0, parsedAtOnce), make([]parsed, parsedAtOnce)
	flush := func() {
		var group sync.WaitGroup
		cores := runtime.GOMAXPROCS(0)
		for first := range cores {
			group.Go(func() {
				for n := first; n < len(rows); n += cores {
					says[n] = rows[n].parse()
				}
			})
		}
		group.Wait()
		for n, row := range rows {
			do(row, says[n])
		}
		rows = rows[:0]
	}
	err := v.Rows(func(row Row) error {
		if rows = append(rows, row); len(rows) == parsedAtOnce {
			flush()
		}
		return nil
	})
	flush()
	return err
}
