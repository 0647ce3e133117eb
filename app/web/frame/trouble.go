package frame

import (
	"errors"
	"net/http"

	"pumpwright/app/shop"
	"pumpwright/calc/say"
)

// StatusOf returns the status of an answer that failed, and whether somebody
// has to look into it.
func StatusOf(err error) (status int, ours bool) {
	var denied *shop.Denied
	switch {
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
	case http.StatusUnauthorized:
		return wordNobody.With(), wordNobodyText.With()
	}
	return wordBroken.With(), wordBrokenText.With()
}

// Fail answers with a page that says what went wrong.
func (v *Visit) Fail(err error) error {
	status, _ := StatusOf(err)
	head, text := Words(err)
	title, _ := head.(say.Message)
	return v.Show(Page{Title: title, Status: status, Plain: true, Body: trouble(v, v.View.T(head), v.View.T(text))})
}
