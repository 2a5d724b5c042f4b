package web

import (
	"html/template"
	"maps"
	"sync"

	"cotline/handover"
	"cotline/internal/page"
)

// wardLine is an infant's line on the ward's page, and as it is drawn.
type wardLine struct {
	page.Line
	Path  string
	drawn template.HTML
}

// drawnLines are the lines of the ward's page that were drawn for a moment.
type drawnLines struct {
	mu sync.Mutex
	of map[*handover.Summary]*wardLine
}

func newLines() *drawnLines { return &drawnLines{of: map[*handover.Summary]*wardLine{}} }

// line is an infant's, drawn where it was not yet.
func (d *drawnLines) line(f *handover.Summary, draw func() (*wardLine, error)) (l *wardLine, err error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if l = d.of[f]; l == nil {
		if l, err = draw(); err == nil {
			d.of[f] = l
		}
	}
	return l, err
}

// clone is for another snapshot of the same moment.
func (d *drawnLines) clone() *drawnLines {
	d.mu.Lock()
	defer d.mu.Unlock()
	return &drawnLines{of: maps.Clone(d.of)}
}
