package sheets

import (
	"fmt"
	"strings"
)

// measure reads all rows once: it refuses what a cell cannot hold before anything is written, finds the widths that
// show every number and date whole and let texts wrap, which columns say nothing, and where links lead to.
func (s sheet) measure(l *links, title string) (measured, error) {
	m := measured{first: map[string]int{}}
	if err := s.checkHeads(); err != nil {
		return m, err
	}
	of := make([]extent, len(s.heads))
	offsets := map[string]bool{}
	for key, row := range s.ahead() {
		m.rows++
		l.note(s.name, s.placeOf(key, row), m.rows, m.first)
		for i := range row {
			c := &row[i]
			if why := c.unfit(); why != "" {
				return m, Refused{Sheet: s.name, Row: headerRow + m.rows, Column: s.heads[i], Of: key, Why: why}
			}
			if (c.to != nil || c.entry) && l.room(s.name) {
				l.want(s.name, c.leadsTo())
			}
			of[i].add(c)
			if s.small() {
				of[i].marked(c)
			}
			if c.show == showOffset && len(offsets) < 2 {
				offsets[c.text] = true
			}
		}
	}
	m.choose(s, of, offsets)
	m.fitColumns(s, of, title)
	return m, nil
}

func (s sheet) checkHeads() error {
	seen := map[string]bool{}
	for i, h := range s.heads {
		folded := strings.ToLower(h)
		if h == "" || seen[folded] {
			return fmt.Errorf("sheet %s: header %q stands twice or is empty", s.name, h)
		}
		seen[folded] = true
		if why := unfit(h); why != "" {
			return Refused{Sheet: s.name, Row: headerRow, Column: fmt.Sprint(i + 1), Why: why}
		}
	}
	return nil
}

func (e *extent) add(c *cell) {
	switch e.valued = e.valued || !c.filler(); c.show {
	case showNumber:
		e.solid = max(e.solid, len(c.number.String())+indent)
	case showMoment:
		e.solid = max(e.solid, len(momentFormat))
	case showDay:
		e.solid = max(e.solid, len(dayFormat))
	default:
		if e.solid < mostPiece && !fits(c.text, e.solid) {
			e.solid = max(e.solid, longestPiece(c.text))
		}
		if !fits(c.text, e.longest) {
			e.longest = max(e.longest, digits(c.text))
		}
	}
}

// marked leaves room for the mark that stands before a word.
func (e *extent) marked(c *cell) {
	for _, s := range allSigns {
		if s.mark != "" && s.bold && s.begins != "" && strings.HasPrefix(c.text, s.begins) {
			e.solid = max(e.solid, longestPiece(c.text)+2)
			e.longest = max(e.longest, digits(c.text)+3)
		}
	}
}

// choose leaves out columns in which no row has a value, and the offsets where all moments of the sheet have one: the
// header says it then.
func (m *measured) choose(s sheet, of []extent, offsets map[string]bool) {
	only := ""
	for o := range offsets {
		only = o
	}
	for i, head := range s.heads {
		offset := strings.HasSuffix(head, offsetHead)
		switch {
		case offset && len(offsets) < 2:
			continue
		case offset && i > 0 && !of[i-1].valued && !s.full && m.rows > 0:
			continue // with its moments
		case !s.full && m.rows > 0 && !of[i].valued && !offset:
			m.leftOut = append(m.leftOut, head)
			continue
		}
		if len(offsets) == 1 && i+1 < len(s.heads) && strings.HasSuffix(s.heads[i+1], offsetHead) {
			head = strings.TrimSuffix(head, ")") + ", UTC" + only + ")"
		}
		if i < s.printed {
			m.printed++
		}
		m.columns, m.heads = append(m.columns, i), append(m.heads, head)
	}
}
