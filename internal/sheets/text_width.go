package sheets

import "unicode/utf8"

// Sizes, for the default type.
const (
	fontName   = "Calibri"
	fontSize   = 11.0
	lineHeight = 15.0 // points
	padding    = 1.0  // of a column: the margins of a cell, in characters
	smallSize  = 9.0  // of sheets that are printed: what fits across a page without being made smaller
	smallLine  = 11.5
	indent     = 1 // of numbers, so that they do not touch the text to their right
)

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
