package shop

import (
	"context"

	"pumpwright/calc/say"
)

// develop leaves a photo as it was taken: a tablet without network shows it
// like this, and the shop makes the picture that is kept when it comes in.
func (s *Shop) develop(_ context.Context, content []byte) (kept, thumb []byte, err error) {
	if !isPhoto(content) {
		return nil, nil, say.Refuse("photo", "", msgPhotoKind.With(), msgPhotoKinds.With())
	}
	return content, content, nil
}
