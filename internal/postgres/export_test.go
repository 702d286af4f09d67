package postgres

// What the tests outside this package need from inside: they are outside because pgtest imports this package.
var (
	MigrateUpSteps   = migrateUp
	CheckSchemaSteps = checkSchema
	MigrateDownSteps = migrateDown
)

const TxAttempts = txAttempts
