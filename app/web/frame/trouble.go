package frame

import (
	"errors"
	"net/http"
	"net/url"
	"strings"

	"pumpwright/app/shop"
	"pumpwright/calc/say"
)

// StatusOf returns the status of an answer that failed, and whether somebody
// has to look into it.
func StatusOf(err error) (status int, ours bool) {
	var denied *shop.Denied
	var long *http.MaxBytesError
	var escape url.EscapeError
	switch {
	case errors.As(err, &long):
		return http.StatusRequestEntityTooLarge, false
	case errors.As(err, &escape):
		return http.StatusBadRequest, false
	case errors.As(err, &denied):
		return http.StatusForbidden, false
	case say.AsProblem(err) != nil:
		return http.StatusUnprocessableEntity, false
	case errors.Is(err, shop.ErrNotFound):
		return http.StatusNotFound, false
	case errors.Is(err, ErrNobody):
		return http.StatusUnauthorized, false
	}
	return http.StatusInternalServerError, true
}

// Words says to a person what went wrong; what is ours to know is not told.
func Words(err error) (head, text say.Shower) {
	status, _ := StatusOf(err)
	if p := say.AsProblem(err); p != nil && status != http.StatusForbidden {
		return wordRefusedTop.With(), p
	} else if p != nil {
		return wordDenied.With(), p
	}
	switch status {
	case http.StatusNotFound:
		return wordGone.With(), wordGoneText.With()
	case http.StatusRequestEntityTooLarge:
		return wordRefusedTop.With(), wordTooLong.With()
	case http.StatusBadRequest:
		return wordRefusedTop.With(), wordGarbled.With()
	case http.StatusUnauthorized:
		return wordNobody.With(), wordNobodyText.With()
	}
	return wordBroken.With(), wordBrokenText.With()
}

var (
	wordTooLong = say.Define("frame.too_long", "What was sent is longer than it may be here. Nothing was kept.")
	wordGarbled = say.Define("frame.garbled", "What was sent cannot be read. Nothing was kept.")
)

// Fail answers with a page that says what went wrong.
func (v *Visit) Fail(err error) error {
	status, _ := StatusOf(err)
	head, text := Words(err)
	title, _ := head.(say.Message)
	return v.Show(Page{Title: title, Status: status, Plain: true, Body: trouble(v, v.View.T(head), v.View.T(text))})
}

// Bare words a problem for the place where the field is: without its path.
func Bare(p *say.Problem) say.Shower { return bare{p} }

type bare struct{ p *say.Problem }

// Show says what was read, what is wrong and what would be accepted.
func (b bare) Show(s say.Style) string {
	plain := *b.p
	plain.Field = ""
	return sentence(plain.Show(s))
}

func sentence(text string) string {
	for i, r := range text {
		return strings.ToUpper(string(r)) + text[i+len(string(r)):]
	}
	return text
}
