package access

import (
	"context"
	"crypto/sha256"
	"crypto/subtle"
	"encoding/base64"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"golang.org/x/crypto/argon2"

	"pumpwright/calc/say"
)

// Hasher makes and checks the hashes of passwords and PINs with Argon2id
// (RFC 9106). It works on one at a time, so that many people who switch at
// once cannot take memory and cores from those who work.
type Hasher struct {
	cost cost
	turn chan struct{}
}

type cost struct {
	passes, kibibytes uint32
	lanes             uint8
}

// usual cost of a hash, the smaller of the two settings that the OWASP
// Password Storage Cheat Sheet gives for Argon2id. [from memory]
var usual = cost{passes: 2, kibibytes: 19 * 1024, lanes: 1}

// NewHasher makes a hasher of the usual cost.
func NewHasher() *Hasher { return newHasher(usual) }

func newHasher(c cost) *Hasher { return &Hasher{cost: c, turn: make(chan struct{}, 1)} }

// wait takes its turn; the function returned gives it back.
func (h *Hasher) wait(ctx context.Context) (func(), error) {
	select {
	case h.turn <- struct{}{}:
		return func() { <-h.turn }, nil
	case <-ctx.Done():
		return nil, ctx.Err()
	}
}

const hashLength = 32

var encoding = base64.RawStdEncoding

// Hash returns what is kept of a secret: method, cost, salt and hash.
func (h *Hasher) Hash(ctx context.Context, secret string, random io.Reader) (string, error) {
	salt := make([]byte, 16)
	if _, err := io.ReadFull(random, salt); err != nil {
		return "", fmt.Errorf("access: salt: %w", err)
	}
	done, err := h.wait(ctx)
	if err != nil {
		return "", err
	}
	defer done()
	key := argon2.IDKey([]byte(secret), salt, h.cost.passes, h.cost.kibibytes, h.cost.lanes, hashLength)
	return fmt.Sprintf("$argon2id$v=%d$m=%d,t=%d,p=%d$%s$%s", argon2.Version, h.cost.kibibytes, h.cost.passes, h.cost.lanes,
		encoding.EncodeToString(salt), encoding.EncodeToString(key)), nil
}

// most that a stored cost may ask for: what is read from a database must not
// take the machine down.
var most = cost{passes: 20, kibibytes: 256 * 1024, lanes: 8}

// Verify reports whether a secret is the one that was hashed. Against nothing
// ("") it takes as long and says no, so that nobody learns who has one.
func (h *Hasher) Verify(ctx context.Context, secret, kept string) (bool, error) {
	c, salt, want := h.cost, make([]byte, 16), make([]byte, hashLength)
	if kept != "" {
		var err error
		if c, salt, want, err = readHash(kept); err != nil {
			return false, err
		}
	}
	done, err := h.wait(ctx)
	if err != nil {
		return false, err
	}
	defer done()
	got := argon2.IDKey([]byte(secret), salt, c.passes, c.kibibytes, c.lanes, uint32(len(want)))
	return subtle.ConstantTimeCompare(got, want) == 1 && kept != "", nil
}

func readHash(kept string) (c cost, salt, key []byte, err error) {
	bad := errors.New("access: the stored hash cannot be read")
	parts := strings.Split(kept, "$")
	if len(parts) != 6 || parts[1] != "argon2id" || parts[2] != fmt.Sprintf("v=%d", argon2.Version) {
		return c, nil, nil, bad
	}
	if _, err := fmt.Sscanf(parts[3], "m=%d,t=%d,p=%d", &c.kibibytes, &c.passes, &c.lanes); err != nil {
		return c, nil, nil, bad
	}
	if c.passes < 1 || c.lanes < 1 || c.passes > most.passes || c.kibibytes > most.kibibytes || c.lanes > most.lanes {
		return c, nil, nil, bad
	}
	salt, saltErr := encoding.DecodeString(parts[4])
	key, keyErr := encoding.DecodeString(parts[5])
	if saltErr != nil || keyErr != nil || len(salt) < 8 || len(key) < 16 || len(key) > 64 {
		return c, nil, nil, bad
	}
	return c, salt, key, nil
}

// newToken makes a secret for a program to keep, and what is stored of it.
func newToken(random io.Reader) (token, kept string, err error) {
	raw := make([]byte, 32)
	if _, err := io.ReadFull(random, raw); err != nil {
		return "", "", fmt.Errorf("access: token: %w", err)
	}
	token = base64.RawURLEncoding.EncodeToString(raw)
	return token, Kept(token), nil
}

// Kept returns what is stored of a token: it holds 256 random bits, so a plain
// hash is enough.
func Kept(token string) string {
	sum := sha256.Sum256([]byte(token))
	return hex.EncodeToString(sum[:])
}

// codeLetters leaves out what looks alike.
const codeLetters = "ABCDEFGHJKLMNPQRSTUVWXYZ23456789"

// newCode makes a code that people read and type: eight of 32 letters, 40 bits.
func newCode(random io.Reader) (string, error) {
	raw := make([]byte, 8)
	if _, err := io.ReadFull(random, raw); err != nil {
		return "", fmt.Errorf("access: code: %w", err)
	}
	for i := range raw {
		raw[i] = codeLetters[int(raw[i])%len(codeLetters)]
	}
	return string(raw[:4]) + "-" + string(raw[4:]), nil
}

// keptCode is what is stored of a code, however it was typed.
func keptCode(code string) string {
	letters := strings.Map(func(r rune) rune {
		if strings.ContainsRune(codeLetters, r) {
			return r
		}
		return -1
	}, strings.ToUpper(code))
	if len(letters) != 8 {
		return ""
	}
	return Kept(letters)
}

var (
	msgShort     = say.Define("access.password_short", "the password is too short")
	msgLong      = say.Define("access.password_long", "the password is too long")
	msgLikeName  = say.Define("access.password_name", "the password is the name")
	msgPassword  = say.Define("access.password", "write at least {least:count} and at most {most:count} characters; a few words with spaces are good")
	msgPINDigits = say.Define("access.pin_digits", "a PIN is made of 4 to 8 digits")
	msgPINPlain  = say.Define("access.pin_plain", "this PIN is guessed first")
	msgPINOther  = say.Define("access.pin_other", "take digits that are neither all the same nor a row")
)

const (
	leastPassword = 10
	mostPassword  = 200
)

// CheckPassword refuses a password that is too short, too long or a name.
func CheckPassword(password string, names ...string) error {
	n := utf8.RuneCountInString(password)
	accepted := msgPassword.With(leastPassword, mostPassword)
	switch {
	case n < leastPassword:
		return say.Refuse("password", "", msgShort.With(), accepted)
	case n > mostPassword:
		return say.Refuse("password", "", msgLong.With(), accepted)
	}
	for _, name := range names {
		if strings.EqualFold(strings.TrimSpace(password), strings.TrimSpace(name)) {
			return say.Refuse("password", "", msgLikeName.With(), accepted)
		}
	}
	return nil
}

func checkPIN(pin string) error {
	if len(pin) < 4 || len(pin) > 8 || strings.Trim(pin, "0123456789") != "" {
		return say.Refuse("pin", "", msgPINDigits.With(), msgPINOther.With())
	}
	same, up, down := true, true, true
	for i := 1; i < len(pin); i++ {
		step := int(pin[i]) - int(pin[i-1])
		same, up, down = same && step == 0, up && step == 1, down && step == -1
	}
	if same || up || down {
		return say.Refuse("pin", "", msgPINPlain.With(), msgPINOther.With())
	}
	return nil
}
