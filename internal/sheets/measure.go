package sheets

import (
	"fmt"
	"strings"
	"unicode/utf8"
)

// measured is what a sheet is known to hold before its first row is written.
type measured struct {
	rows    int
	columns []int    // of the table, those that are written
	heads   []string // of these
	widths  []int    // in digits of their type
	printed int      // of these, how many are in the default print
	leftOut []string // headers of the others that hold no value
	first   map[string]int
}

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
	var solid, longest []int
	for n, i := range m.columns {
		solid = append(solid, min(max(of[i].solid, longestPiece(m.heads[n])+1), mostWidth)) // in bold type
		if s.tall > 0 && i >= firstPicture {                                                // as wide as its picture
			of[i].longest, solid[n] = chartDigits, chartDigits
		}
		longest = append(longest, of[i].longest)
		m.widths = append(m.widths, max(solid[n], min(of[i].longest, lineOf(of[i].longest, s.wraps[i]))))
	}
	if m.printed > 0 {
		m.fitPage(s, solid, longest, digits(s.name+". "+title)+2)
	}
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

// extent is what the cells of a column take.
type extent struct {
	solid   int // widest of what cannot be broken over lines, in digits
	longest int // widest text
	valued  bool
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

const (
	mostWidth = 120
	mostLines = 24 // a row is at most 409 points high: lines beyond would be cut
)

// lineOf is how wide a column is made for its longest text: as asked, or wider so that the row can show it.
func lineOf(longest, wrap int) int {
	return min(max(wrap, longest/mostLines), mostWidth)
}

// longestPiece is the width of the longest stretch in which a line cannot break, as it may after a space or a hyphen; what
// is longer than a line breaks anywhere.
func longestPiece(s string) int {
	longest, n := 0, 0
	for _, r := range s {
		if r == ' ' {
			n = 0
			continue
		}
		n += widthOf(r)
		longest = max(longest, n)
		if r == '-' {
			n = 0
		}
	}
	return min((longest+9)/10, mostPiece)
}

const mostPiece = 24

// linesOf is how many lines a text takes in a column of so many digits.
func linesOf(s string, width int) int {
	width *= 10
	lines, used, piece := 1, 0, 0
	place := func(space int) { // the piece and the space after it
		if used > 0 && used+piece > width {
			lines++
			used = 0
		}
		if piece > width { // breaks anywhere
			lines += (piece - 1) / width
			piece = (piece-1)%width + 1
		}
		used += piece + space
		piece = 0
	}
	for _, r := range s {
		switch r {
		case '\n':
			if piece > 0 {
				place(0)
			}
			lines++
			used = 0
		case ' ':
			place(widthOf(r))
		case '-':
			piece += widthOf(r)
			place(0)
		default:
			piece += widthOf(r)
		}
	}
	if piece > 0 {
		place(0)
	}
	return lines
}

// digits is about how wide a text is, in digits.
func digits(s string) int { return (tenths(s) + 9) / 10 }

// tenths is about how wide a text is in the default type, in tenths of a digit: widths are counted in digits.
func tenths(s string) int {
	n := 0
	for _, r := range s {
		n += widthOf(r)
	}
	return n
}

func widthOf(r rune) int {
	switch {
	case r < utf8.RuneSelf:
		return int(ascii[r])
	case r < 0x1100:
		return 13
	}
	return 20
}

// mostOfByte is how many tenths of a digit a byte of a text can add to its width.
const mostOfByte = 18

// fits says of a text, without a look at it, that it cannot be wider than so many digits; false says nothing.
func fits(s string, width int) bool { return len(s)*mostOfByte <= width*10 }

// ascii is how wide each of the first characters is, in tenths of a digit: those of a free type of the same widths as
// Calibri (Carlito 1.104, hmtx table), rounded.
var ascii = func() (widths [utf8.RuneSelf]uint8) {
	for r := range widths {
		widths[r] = 10
	}
	for width, chars := range map[uint8]string{4: "'", 5: " ,.:;Iijl", 6: "!()-J[]`f{}", 7: "rt", 8: `"/L\csz`, 9: "?FSZagkvxy|",
		11: "ABCRV", 12: "DGH", 13: "&NOQU", 14: "%w", 16: "m", 17: "M", mostOfByte: "@W"} {
		for _, r := range chars {
			widths[r] = width
		}
	}
	return widths
}()
