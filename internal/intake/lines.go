package intake

import (
	"bytes"
	"runtime"

	"cotline/handover/entry"
)

// lines are some of a file, for one core to read.
type lines struct {
	above int // lines of the file before them
	text  []byte
	ends  []int // of each line within text
	long  map[int]bool
}

const (
	linesAtOnce = 512
	bytesAtOnce = 256 << 10
)

func (l *lines) enough() bool { return len(l.ends) >= linesAtOnce || len(l.text) >= bytesAtOnce }

// add takes in text, which is what there was with one line more.
func (l *lines) add(text []byte, long bool) {
	if long {
		if l.long == nil {
			l.long = map[int]bool{}
		}
		l.long[len(l.ends)] = true
	}
	l.text = text
	l.ends = append(l.ends, len(text))
}

// offer is what they offer.
func (l *lines) offer() Offer {
	o := Offer{Lines: l.above}
	from := 0
	for i, end := range l.ends {
		text := l.text[from:end]
		from = end
		if o.Lines++; o.Lines == 1 {
			text = bytes.TrimPrefix(text, []byte("\ufeff"))
		}
		o.line(text, l.long[i])
	}
	return o
}

// gathering puts together what several cores read, in the order of the file.
type gathering struct {
	offer   Offer
	pending []chan Offer
	most    int // entries
	full    bool
}

// take has lines read; it says whether there is room for more.
func (g *gathering) take(l lines) bool {
	read := make(chan Offer, 1)
	go func() { read <- l.offer() }()
	g.pending = append(g.pending, read)
	if len(g.pending) > runtime.GOMAXPROCS(0) {
		g.one()
	}
	g.full = g.full || len(g.offer.Entries) > g.most || len(g.offer.Issues) >= mostTold
	return !g.full
}

func (g *gathering) one() {
	o := <-g.pending[0]
	g.pending = g.pending[1:]
	g.offer.Entries = append(g.offer.Entries, o.Entries...)
	g.offer.Faulty = append(g.offer.Faulty, o.Faulty...)
	g.offer.Issues = append(g.offer.Issues, o.Issues...)
	g.offer.Unread += o.Unread
	g.offer.Lines = o.Lines
}

// settle waits for all that is being read, and refuses a file of which not all was.
func (g *gathering) settle() {
	for len(g.pending) > 0 {
		g.one()
	}
	if !g.full && len(g.offer.Entries) <= g.most {
		return
	}
	g.full = false
	g.offer.Unread++
	g.offer.Issues = append(g.offer.Issues, entry.Issue{Line: g.offer.Lines, Code: entry.CodeLineTooLong,
		Allowed: tooMany})
}
