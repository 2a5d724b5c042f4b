package sqlite

import (
	"bytes"
	"testing"
)

// What was signed comes back, whatever it is; of bytes that say another length nothing does,
// and no more room is made for them than a text of theirs, or of the most that is kept, takes.
func TestPack(t *testing.T) {
	for _, text := range []string{"", "{}", string(bytes.Repeat([]byte("skin intact\n"), 100_000))} {
		packed, err := pack([]byte(text))
		if err != nil || string(unpack(packed)) != text {
			t.Errorf("%d bytes do not come back: %v", len(text), err)
		}
		if got := unpacked(packed); got != len(text) {
			t.Errorf("room for %d bytes of %d", got, len(text))
		}
		for n := range 32 {
			wrong := bytes.Clone(packed)
			wrong[len(wrong)-4+n/8] ^= 1 << (n % 8)
			if unpack(wrong) != nil {
				t.Errorf("%d bytes: another length, bit %d, is taken", len(text), n)
			}
			if got := unpacked(wrong); got > 1032*len(wrong) {
				t.Errorf("%d bytes: bit %d makes room for %d", len(text), n, got)
			}
		}
	}
	long := bytes.Repeat([]byte{0xff}, 500_000)
	if got := unpacked(long); got != mostSigned {
		t.Errorf("room for %d bytes, at most %d are kept", got, mostSigned)
	}
	if unpack(nil) != nil || unpack([]byte{1, 2, 3}) != nil {
		t.Error("no packed bytes are taken")
	}
}
