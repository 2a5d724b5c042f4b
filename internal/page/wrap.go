package page

import (
	"strings"

	"github.com/rivo/uniseg"
)

// columns is how wide s stands on a terminal: two for wide East Asian letters,
// none for combining marks (Unicode Standard Annexes 11 and 29).
func columns(s string) int { return uniseg.StringWidth(s) }

// piece is a stretch of a line that is marked or is not.
type piece struct {
	text string
	mark bool
}

// para lays text out in lines of so many columns. Nothing is cut: what is too
// long for a line goes on in the next.
type para struct {
	width int
	dense bool // each line is filled; else a fact is kept together where that costs little
	lines [][]piece
	used  int // columns of the last line
}

func (p *para) newLine() {
	if p.used > 0 || len(p.lines) == 0 {
		p.lines = append(p.lines, nil)
	}
	p.used = 0
}

// put adds text to the last line; the caller has seen that it fits.
func (p *para) put(text string, mark bool) {
	if len(p.lines) == 0 {
		p.newLine()
	}
	last := &p.lines[len(p.lines)-1]
	if n := len(*last); n > 0 && (*last)[n-1].mark == mark {
		(*last)[n-1].text += text
	} else {
		*last = append(*last, piece{text, mark})
	}
	p.used += columns(text)
}

// ragged is how much of a line may stay empty to keep a fact together.
const ragged = 24

// words adds text word by word, together on one line where that costs little.
func (p *para) words(text string, mark bool) {
	words := strings.Fields(text)
	if !p.dense && p.used+ragged > p.width && p.used+1+columns(text) > p.width {
		p.newLine()
	}
	for _, word := range words {
		p.word(word, mark)
	}
}

// word adds what is not to be parted, but where no line holds it.
func (p *para) word(word string, mark bool) {
	gap := ""
	if p.used > 0 {
		gap = " "
	}
	if p.used > 0 && p.used+1+columns(word) > p.width {
		p.newLine()
		gap = ""
	}
	for columns(word) > p.width {
		head, rest := split(word, p.width)
		p.put(head, mark)
		p.newLine()
		word = rest
	}
	p.put(gap+word, mark)
}

// split cuts a word that no line holds between two letters as they are seen.
func split(word string, width int) (head, rest string) {
	rest = word
	state, used := -1, 0
	for rest != "" {
		cluster, after, w, next := uniseg.FirstGraphemeClusterInString(rest, state)
		if used+w > width && head != "" {
			break
		}
		head, rest, used, state = head+cluster, after, used+w, next
	}
	return head, rest
}

// items lays out facts one after the other; what stands apart has lines of its own.
func (p *para) items(items []item) {
	for i, it := range items {
		text := settle(it.Text)
		if it.Apart {
			p.newLine()
		}
		if i+1 < len(items) {
			text += ";"
		}
		p.words(text, false)
		if it.Apart && i+1 < len(items) {
			p.newLine()
		}
	}
}

// settle takes the isolates away round text that is written from left to right.
func settle(s string) string {
	var b strings.Builder
	for {
		before, rest, found := strings.Cut(s, isolate)
		b.WriteString(before)
		if !found {
			return b.String()
		}
		inner, after, _ := strings.Cut(rest, release)
		if turns(inner) {
			inner = isolate + inner + release
		}
		b.WriteString(inner)
		s = after
	}
}

// balance closes an isolate at the end of a line and opens it again on the next,
// for each line of a terminal is a paragraph to the bidirectional algorithm.
func balance(lines [][]piece) {
	open := false
	for _, line := range lines {
		for i := range line {
			text := line[i].text
			if i == 0 && open {
				line[i].text = isolate + text
			}
			if at := max(strings.LastIndex(text, isolate), 0); strings.Contains(text[at:], isolate) {
				open = !strings.Contains(text[at:], release)
			} else if strings.Contains(text, release) {
				open = false
			}
			if i == len(line)-1 && open {
				line[i].text += release
			}
		}
	}
}
