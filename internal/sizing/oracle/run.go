package oracle

import (
	"context"
	"fmt"
	"os"
	"runtime/debug"

	"kitspan/internal/catalog"
	"kitspan/internal/price"
	"kitspan/internal/sizing"
)

// Size resolves a shoot's draft and asks the engine for its answer, priced at the rates of the shoot's date. A draft
// refused, an error and a panic are all errors that name the shoot.
func Size(ctx context.Context, s Shoot, stock *catalog.Snapshot) (res sizing.Result, err error) {
	defer func() {
		if p := recover(); p != nil {
			err = fmt.Errorf("%s: panic: %v\n%s", s, p, debug.Stack())
		}
	}()
	shot, faults := s.Draft.Resolve()
	if len(faults) > 0 {
		return res, fmt.Errorf("%s: refused: %v", s, faults)
	}
	res, err = sizing.Plan(ctx, shot, stock, price.NewDesk(stock, shot.Window.Date))
	if err != nil {
		return res, fmt.Errorf("%s: %w", s, err)
	}
	return res, nil
}

// FullEnv is the environment variable that, set to "full", makes the tests take many more scenes and the fine search.
const FullEnv = "KITSPAN_ORACLE"

// Full reports whether [FullEnv] is set to "full".
func Full() bool { return os.Getenv(FullEnv) == "full" }
