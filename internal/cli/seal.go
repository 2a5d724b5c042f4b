package cli

import (
	"context"
	"errors"
	"io"
	"os"
	"strings"

	"filippo.io/age"
)

// mostIdentities is above what a file of identities may take.
const mostIdentities = 64 << 10

// recipients are those that a backup is encrypted to, by the public halves of their keys.
func recipients(texts []string) (out []age.Recipient, err error) {
	for _, text := range texts {
		some, err := age.ParseRecipients(strings.NewReader(text))
		if err != nil || len(some) != 1 {
			return nil, wrong{"--to-age is no recipient of age", "give the public half of a key, age1…"}
		}
		out = append(out, some[0])
	}
	return out, nil
}

// seal encrypts a file to another, which is not there, for its owner alone.
func seal(ctx context.Context, from, to string, for_ []age.Recipient) (err error) {
	return copied(from, to, func(in io.Reader, out io.Writer) error {
		w, err := age.Encrypt(out, for_...)
		if err != nil {
			return err
		}
		_, err = io.Copy(w, &stoppable{ctx: ctx, r: in})
		return errors.Join(err, w.Close())
	})
}

// unseal decrypts a file to another, which is not there, for its owner alone, by the keys in
// a file.
func unseal(ctx context.Context, from, to, identities string) error {
	f, err := openInput(ctx, identities)
	if err != nil {
		return err
	}
	keys, err := age.ParseIdentities(io.LimitReader(&stoppable{ctx: ctx, r: f}, mostIdentities))
	f.Close() // it was only read
	if ctx.Err() != nil {
		return ctx.Err()
	}
	if err != nil {
		return wrong{"--identity holds no key of age", "give the file that age-keygen wrote"}
	}
	return copied(from, to, func(in io.Reader, out io.Writer) error {
		r, err := age.Decrypt(&stoppable{ctx: ctx, r: in}, keys...)
		switch {
		case ctx.Err() != nil:
			return ctx.Err()
		case errors.As(err, new(*age.NoIdentityMatchError)):
			return wrong{"the backup is encrypted to another key", "give the file of that key with --identity"}
		case err != nil:
			return wrong{"the file is no backup that age encrypted, or is damaged", "name one with --record"}
		}
		_, err = io.Copy(out, r)
		switch {
		case ctx.Err() != nil:
			return ctx.Err()
		case isDamaged(err):
			return wrong{"the backup is damaged: it does not decrypt to its end", "take another one"}
		}
		return err
	})
}

// isDamaged says whether decrypting failed for what was read, not for the disk.
func isDamaged(err error) bool {
	var at *os.PathError
	return err != nil && !errors.As(err, &at)
}

// copied writes a file made of another.
func copied(from, to string, do func(io.Reader, io.Writer) error) error {
	in, err := os.Open(from)
	if err != nil {
		return err
	}
	defer in.Close() // it was only read
	out, err := os.OpenFile(to, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return err
	}
	err = do(in, out)
	return errors.Join(err, out.Sync(), out.Close())
}
