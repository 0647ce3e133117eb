package shop

import "context"

// Alive asks the database something and tells how the backups stand: for
// those who watch the server. It tells nothing of what the shop keeps.
func (s *Shop) Alive(ctx context.Context) (BackupState, error) {
	if _, err := s.store.Sites(ctx); err != nil {
		return BackupState{}, err
	}
	return s.backupState(ctx)
}
