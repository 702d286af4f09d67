package postgres

import (
	"bytes"
	"context"
	"crypto/rand"
	"errors"
	"fmt"

	"github.com/jackc/pgx/v5"

	"kitspan/internal/catalog"
)

// Bounds of the files that wait to be imported; common practice, no source. Together with [catalog.MaxKeptFile] a house's files take
// 256 MB at most.
const (
	filesPerHolder = 4
	filesPerHouse  = 32
	fileMinutes    = 60
)

// KeepFile keeps a catalogue file of one kind for an hour, for its holder alone, and returns the id that it goes by. The oldest of a
// holder's files gives way to a fifth; where the house keeps 32, the answer is [catalog.ErrManyFiles].
func (c *Catalogue) KeepFile(ctx context.Context, house, holder string, kind catalog.Kind, file []byte) (id string, err error) {
	ctx, cancel := context.WithTimeout(ctx, writeTimeout)
	defer cancel()
	id = rand.Text()
	err = InTx(ctx, c.pool, readCommitted, func(tx pgx.Tx) error {
		if _, _, err := lockHouse(ctx, tx, house); err != nil { // those who keep files take turns, so that the count holds
			return err
		}
		_, err := tx.Exec(ctx, `
			DELETE FROM import_files
			WHERE house = $1 AND (expires_at <= now() OR id IN (
				SELECT id FROM import_files WHERE house = $1 AND holder = $2 ORDER BY kept_at DESC, id OFFSET $3))`, house, holder, filesPerHolder-1)
		if err != nil {
			return err
		}
		var kept int
		if err := tx.QueryRow(ctx, `SELECT count(*) FROM import_files WHERE house = $1`, house).Scan(&kept); err != nil {
			return err
		}
		if kept >= filesPerHouse {
			return catalog.ErrManyFiles
		}
		return oneRow(tx.Exec(ctx, `
			INSERT INTO import_files (house, id, holder, kind, file, expires_at)
			VALUES ($1, $2, $3, $4, $5, clock_timestamp() + $6 * INTERVAL '1 minute')`, house, id, holder, string(kind), file, fileMinutes))
	})
	if err != nil {
		return "", refusal("keep a file of house "+house, err)
	}
	return id, nil
}

// LookAtFile says what the import of a kept file would do to the catalogue as it is, or what it did; [catalog.ErrNoFile] where no file
// of that id is kept for the holder. Cells that the house's other items forbid come back as one [*catalog.CSVError]. Nothing is
// changed, and writers do not wait.
func (c *Catalogue) LookAtFile(ctx context.Context, house, holder, id string) (catalog.FileLook, error) {
	var look catalog.FileLook
	err := InTx(ctx, c.pool, pgx.TxOptions{IsoLevel: pgx.RepeatableRead}, func(tx pgx.Tx) error {
		kept, err := readFile(ctx, tx, house, holder, id)
		look = kept.FileLook
		if err != nil || look.Done {
			return err
		}
		if _, look.Version, err = readHouse(ctx, tx, house); err != nil {
			return err
		}
		h, staged, err := stageFile(ctx, tx, house, kept.Kind, bytes.NewReader(kept.file))
		if err != nil {
			return err
		}
		if err := checkStaged(ctx, tx, h, kept.Kind); err != nil {
			return err
		}
		look.Counts, err = countStaged(ctx, tx, staged)
		return err
	})
	if err != nil {
		return look, refusal("look at file "+id+" of house "+house, err)
	}
	return look, nil
}

// ImportFile imports a kept file if the house's catalogue is still at version, else [catalog.ErrCatalogueChanged]; [catalog.ErrNoFile]
// and bad cells as in [Catalogue.LookAtFile]. A file that was imported is not imported again: the counts are those of the first time.
func (c *Catalogue) ImportFile(ctx context.Context, house, holder, id string, version int64) (catalog.ImportCounts, error) {
	var counts catalog.ImportCounts
	err := InTx(ctx, c.pool, readCommitted, func(tx pgx.Tx) error {
		kept, err := readFile(ctx, tx, house, holder, id)
		if counts = kept.Counts; err != nil || kept.Done {
			return err
		}
		h, staged, err := stageFile(ctx, tx, house, kept.Kind, bytes.NewReader(kept.file))
		if err != nil {
			return err
		}
		locked, next, err := lockHouse(ctx, tx, house)
		if err != nil {
			return err
		}
		// Whoever asked for the same at the same time was either before us and has finished, or waits until we have.
		again, err := readFile(ctx, tx, house, holder, id)
		if counts = again.Counts; err != nil || again.Done {
			return err
		}
		if now := next - 1; now != version {
			return fmt.Errorf("%w: it is at version %d, not %d", catalog.ErrCatalogueChanged, now, version)
		}
		if counts, err = importStaged(ctx, tx, h, locked, kept.Kind, staged, next); err != nil {
			return err
		}
		return oneRow(tx.Exec(ctx, `
			UPDATE import_files SET file = '', created = $3, changed = $4, unchanged = $5 WHERE house = $1 AND id = $2`,
			house, id, counts.Created, counts.Changed, counts.Unchanged))
	})
	if err != nil {
		return catalog.ImportCounts{}, refusal("import file "+id+" of house "+house, err)
	}
	return counts, nil
}

// keptFile is a row of import_files.
type keptFile struct {
	catalog.FileLook
	file []byte
}

func readFile(ctx context.Context, tx pgx.Tx, house, holder, id string) (kept keptFile, err error) {
	var created, changed, unchanged *int
	err = tx.QueryRow(ctx, `
		SELECT kind, file, created, changed, unchanged FROM import_files
		WHERE house = $1 AND id = $2 AND holder = $3 AND expires_at > now()`, house, id, holder).
		Scan(&kept.Kind, &kept.file, &created, &changed, &unchanged)
	if errors.Is(err, pgx.ErrNoRows) {
		return kept, catalog.ErrNoFile
	}
	if err == nil && created != nil {
		kept.Done, kept.Counts = true, catalog.ImportCounts{Created: *created, Changed: *changed, Unchanged: *unchanged}
	}
	return kept, err
}
