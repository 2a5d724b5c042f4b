package cli

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"cotline/internal/journal"
	"cotline/internal/page"
)

// ofSigned prepares what prints a signed handover: its bytes, unless another form is
// asked for.
func (f *handoverFlags) ofSigned(cmd *cobra.Command) error {
	if name := given(cmd.Flags(), "at", "known", "since", "infant", "cot", "policy"); name != "" {
		return wrong{"--signed prints what was signed, so --" + name + " means nothing", "leave one of the two out"}
	}
	if given(cmd.Flags(), "format") == "" {
		f.format = "json"
	}
	if f.format != "json" {
		return f.sound(cmd.Flags())
	}
	f.page = page.Options{} // what the environment says of paper is of no face here
	if name := given(cmd.Flags(), "pictures", "initials", "printed-by", "paper", "full", "no-pictures"); name != "" {
		return wrong{"--" + name + " changes no JSON: it is what was signed", "give --format text, html or pdf too"}
	}
	return nil
}

// runSigned prints the bytes of a signed handover, or another face of them.
func (p *Program) runSigned(ctx context.Context, s *settings, f handoverFlags) error {
	if s.plain() {
		return wrong{"a .ndjson record keeps no signed handover", "name a stored record with --record"}
	}
	j, err := s.open(ctx, false)
	if err != nil {
		return err
	}
	defer j.Store.Close() // it was only read
	signed, found, err := j.Signed(ctx, strings.ToLower(f.signed))
	if err != nil {
		return recordError{s.record, err}
	}
	if !found {
		return wrong{"--signed: no handover was signed in " + s.record + " under " + typed(f.signed), "give the id of a handover entry"}
	}
	r, err := j.Read(ctx)
	if err != nil {
		return recordError{s.record, err}
	}
	broken := s.warn(r.Findings)
	if sum := sha256.Sum256(signed.JSON); hex.EncodeToString(sum[:]) != signed.Digest {
		p.say("WARNING: these are not the bytes that were signed; run cotline verify, and hold against paper")
		broken = errRefused
	}
	if broken == nil {
		s.noted(ctx, f.kind(), "handover as signed", nil)
	}
	if f.format == "json" {
		err = p.output(f.out, func(w io.Writer) error { _, err := w.Write(signed.JSON); return err })
		return errors.Join(err, broken)
	}
	c, err := s.signedFace(ctx, j, signed)
	if err != nil {
		return err
	}
	return errors.Join(p.show(ctx, f, c), broken)
}

// signedFace is what faces of a signed handover are made of.
func (s *settings) signedFace(ctx context.Context, j *journal.Journal, signed journal.Signed) (*compilation, error) {
	const asBytes = "its bytes are printed by --format json; run cotline verify, and hold against paper"
	if signed.Form == journal.Kept {
		return nil, wrong{"this handover came from a record of which not all was whole, so that only its bytes stand", asBytes}
	}
	cut, err := j.Again(ctx, signed)
	if errors.Is(err, journal.ErrNotAsSigned) {
		return nil, wrong{"this handover was compiled by version " + signed.Engine + " of the program, and this one, " + version +
			", makes another of it", asBytes}
	}
	if err != nil {
		return nil, recordError{s.record, err}
	}
	w := window{at: cut.At, known: cut.Known}
	return &compilation{handover: compile(cut.Ward, w, journal.Reading{Head: cut.Head}), ward: cut.Ward, window: w}, nil
}
