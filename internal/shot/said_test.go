package shot

import "kitspan/internal/fault"

// Said is a fault in a sentence. Package text makes it, which imports this one: the external tests beside hand it in.
var Said func(fault.Fault) string
