package access

import (
	"context"
	"errors"
	"fmt"

	"cotline/internal/journal"
)

// Part is how much of a trace is read, back from its end or from before a position.
type Part struct {
	Before int64 // zero: from its end
	Events int   // at most so many
	Rows   int   // at most so many are read, to the next block
}

// mostOfBlock are how many rows are read at once, going back.
const mostOfBlock = 1000

// errEnough ends the reading of a block.
var errEnough = errors.New("access: enough")

// TraceBack is Trace of a part: it costs the same however long the trace is. What is read is
// held to the chain from the row before it on, and the end of the trace to where it was.
func (a *Access) TraceBack(ctx context.Context, by *Who, from Origin, unit string, about About, part Part) (r Reading, err error) {
	if err := a.Allow(ctx, by, from, unit, ReadTrace); err != nil {
		return r, err
	}
	err = a.read(ctx, func(v View) error {
		r, err = readBack(v, unit, about, part)
		return err
	})
	if err != nil {
		return r, err
	}
	return r, a.noteTraceRead(ctx, by, from, unit, about)
}

func readBack(v View, unit string, about About, part Part) (r Reading, err error) {
	if r.Head, err = v.TraceHead(unit); err != nil {
		return r, err
	}
	mark, err := v.TraceMark(unit)
	if err != nil {
		return r, err
	}
	var there journal.Hash
	err = rowsOf(v, unit, mark.Position-1, mark.Position, func(row Traced) { there = row.Chain })
	if err != nil {
		return r, err
	}
	r.holdEnd(mark, there)
	end, rows, block := r.Head.Position, 0, int64(min(part.Rows, mostOfBlock))
	if part.Before > 0 {
		end = min(end, part.Before-1)
	}
	for end > 0 {
		after := max(end-block, 0)
		b, over, err := readBlock(v, unit, about, after, end)
		if err != nil {
			return r, err
		}
		r.Events, r.Findings = append(b.Events, r.Events...), append(b.Findings, r.Findings...)
		rows += int(end - after)
		switch more := len(r.Events) - part.Events; {
		case more > 0:
			r.Events = r.Events[more:]
			if first := r.Events[0].Position; first > 1 {
				r.Older = first
			}
			return r, nil
		case over:
			return r, nil
		case after > 0 && (more == 0 || rows >= part.Rows):
			r.Older = after + 1
			return r, nil
		}
		end = after
	}
	return r, nil
}

// readBlock reads the rows after a position up to another. Over says that the first of them
// is older than what is asked about.
func readBlock(v View, unit string, about About, after, upto int64) (b Reading, over bool, err error) {
	if after > 0 {
		b.Head.Position = after - 1 // until the row there is read
	}
	first := true
	err = rowsOf(v, unit, after-1, upto, func(row Traced) {
		if row.Position == after {
			b.Head = journal.Head{Position: row.Position, Chain: row.Chain}
			return
		}
		e := b.hold(row, unit, about)
		over, first = over || first && e != nil && e.At.Before(about.Since), false
	})
	if err == nil && b.Head.Position < upto {
		b.Findings = append(b.Findings, journal.Finding{Position: upto,
			What: fmt.Sprintf("rows of the trace are missing up to it, from position %d on", b.Head.Position+1)})
	}
	return b, over, err
}

// rowsOf reads the rows after a position up to another.
func rowsOf(v View, unit string, after, upto int64, do func(Traced)) error {
	err := v.Trace(unit, max(after, 0), func(row Traced) error {
		if row.Position > upto {
			return errEnough
		}
		do(row)
		return nil
	})
	if errors.Is(err, errEnough) {
		return nil
	}
	return err
}
