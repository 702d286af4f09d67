package fault

// The codes of the kinds, in the words of the contract.

func (Missing) Code() string           { return "missing" }
func (OutOfRange) Code() string        { return "out_of_range" }
func (CountsAsZero) Code() string      { return "counts_as_zero" }
func (NotFinite) Code() string         { return "not_finite" }
func (NotOneOf) Code() string          { return "not_one_of" }
func (TooLong) Code() string           { return "too_long" }
func (TooMany) Code() string           { return "too_many" }
func (WrongCount) Code() string        { return "wrong_count" }
func (BothGiven) Code() string         { return "both_given" }
func (NeitherGiven) Code() string      { return "neither_given" }
func (Repeated) Code() string          { return "repeated" }
func (UnderAnother) Code() string      { return "under_another" }
func (Reserved) Code() string          { return "reserved" }
func (NotADate) Code() string          { return "not_a_date" }
func (YearOutOfRange) Code() string    { return "year_out_of_range" }
func (NotATime) Code() string          { return "not_a_time" }
func (NotAnInstant) Code() string      { return "not_an_instant" }
func (NotLater) Code() string          { return "not_later" }
func (SkippedTime) Code() string       { return "skipped_time" }
func (EndNotAfterStart) Code() string  { return "end_not_after_start" }
func (WindowTooLong) Code() string     { return "window_too_long" }
func (FromNotBeforeTo) Code() string   { return "from_not_before_to" }
func (TooManySteps) Code() string      { return "too_many_steps" }
func (ZoneOfMachine) Code() string     { return "zone_of_machine" }
func (ZoneInFolder) Code() string      { return "zone_in_folder" }
func (UnknownZone) Code() string       { return "unknown_zone" }
func (ViewTooWide) Code() string       { return "view_too_wide" }
func (TopNotAboveBase) Code() string   { return "top_not_above_base" }
func (NobodyInView) Code() string      { return "nobody_in_view" }
func (Overlaps) Code() string          { return "overlaps" }
func (InsideZone) Code() string        { return "inside_zone" }
func (UnknownHouse) Code() string      { return "unknown_house" }
func (UnknownItem) Code() string       { return "unknown_item" }
func (WrongKind) Code() string         { return "wrong_kind" }
func (UnknownCurrency) Code() string   { return "unknown_currency" }
func (OtherCurrency) Code() string     { return "other_currency" }
func (NotAnAmount) Code() string       { return "not_an_amount" }
func (ChargedOutOfRange) Code() string { return "charged_out_of_range" }
func (ChargedFalls) Code() string      { return "charged_falls" }
func (ChargedBeaten) Code() string     { return "charged_beaten" }
func (NotMore) Code() string           { return "not_more" }
func (NotADecimal) Code() string       { return "not_a_decimal" }
func (TaxedTwice) Code() string        { return "taxed_twice" }
func (NotHired) Code() string          { return "not_hired" }
func (NoTerms) Code() string           { return "no_terms" }
func (NoRateOn) Code() string          { return "no_rate_on" }
func (UnknownPlace) Code() string      { return "unknown_place" }
func (HireBackwards) Code() string     { return "hire_backwards" }
func (HireTooLong) Code() string       { return "hire_too_long" }
func (OutsideHire) Code() string       { return "outside_hire" }
func (NoRoom) Code() string            { return "no_room" }
func (Unprintable) Code() string       { return "unprintable" }
func (SpaceAround) Code() string       { return "space_around" }
func (NoSuchShot) Code() string        { return "no_such_shot" }
func (ShotsLeftOut) Code() string      { return "shots_left_out" }
func (MissingAttribute) Code() string  { return "missing_attribute" }
func (UnknownKind) Code() string       { return "unknown_kind" }
func (OtherKind) Code() string         { return "other_kind" }
func (WrongColumns) Code() string      { return "wrong_columns" }
func (WrongCells) Code() string        { return "wrong_cells" }
func (NotANumber) Code() string        { return "not_a_number" }
func (OpenQuote) Code() string         { return "open_quote" }
func (NotAList) Code() string          { return "not_a_list" }
func (NotAWorkbook) Code() string      { return "not_a_workbook" }
func (WorkbookTooLarge) Code() string  { return "workbook_too_large" }
func (NotText) Code() string           { return "not_text" }
func (NotJSON) Code() string           { return "not_json" }
func (IsNull) Code() string            { return "is_null" }
func (WrongType) Code() string         { return "wrong_type" }
func (FarOutOfRange) Code() string     { return "far_out_of_range" }
func (NotWhole) Code() string          { return "not_whole" }
func (TooManyElements) Code() string   { return "too_many_elements" }
func (Twice) Code() string             { return "twice" }
func (Unknown) Code() string           { return "unknown" }
func (Unreadable) Code() string        { return "unreadable" }
func (Other) Code() string             { return "other" }

func (Missing) kind()           {}
func (OutOfRange) kind()        {}
func (CountsAsZero) kind()      {}
func (NotFinite) kind()         {}
func (NotOneOf) kind()          {}
func (TooLong) kind()           {}
func (TooMany) kind()           {}
func (WrongCount) kind()        {}
func (BothGiven) kind()         {}
func (NeitherGiven) kind()      {}
func (Repeated) kind()          {}
func (UnderAnother) kind()      {}
func (Reserved) kind()          {}
func (NotADate) kind()          {}
func (YearOutOfRange) kind()    {}
func (NotATime) kind()          {}
func (NotAnInstant) kind()      {}
func (NotLater) kind()          {}
func (SkippedTime) kind()       {}
func (EndNotAfterStart) kind()  {}
func (WindowTooLong) kind()     {}
func (FromNotBeforeTo) kind()   {}
func (TooManySteps) kind()      {}
func (ZoneOfMachine) kind()     {}
func (ZoneInFolder) kind()      {}
func (UnknownZone) kind()       {}
func (ViewTooWide) kind()       {}
func (TopNotAboveBase) kind()   {}
func (NobodyInView) kind()      {}
func (Overlaps) kind()          {}
func (InsideZone) kind()        {}
func (UnknownHouse) kind()      {}
func (UnknownItem) kind()       {}
func (WrongKind) kind()         {}
func (UnknownCurrency) kind()   {}
func (OtherCurrency) kind()     {}
func (NotAnAmount) kind()       {}
func (ChargedOutOfRange) kind() {}
func (ChargedFalls) kind()      {}
func (ChargedBeaten) kind()     {}
func (NotMore) kind()           {}
func (NotADecimal) kind()       {}
func (TaxedTwice) kind()        {}
func (NotHired) kind()          {}
func (NoTerms) kind()           {}
func (NoRateOn) kind()          {}
func (UnknownPlace) kind()      {}
func (HireBackwards) kind()     {}
func (HireTooLong) kind()       {}
func (OutsideHire) kind()       {}
func (NoRoom) kind()            {}
func (Unprintable) kind()       {}
func (SpaceAround) kind()       {}
func (NoSuchShot) kind()        {}
func (ShotsLeftOut) kind()      {}
func (MissingAttribute) kind()  {}
func (UnknownKind) kind()       {}
func (OtherKind) kind()         {}
func (WrongColumns) kind()      {}
func (WrongCells) kind()        {}
func (NotANumber) kind()        {}
func (OpenQuote) kind()         {}
func (NotAList) kind()          {}
func (NotAWorkbook) kind()      {}
func (WorkbookTooLarge) kind()  {}
func (NotText) kind()           {}
func (NotJSON) kind()           {}
func (IsNull) kind()            {}
func (WrongType) kind()         {}
func (FarOutOfRange) kind()     {}
func (NotWhole) kind()          {}
func (TooManyElements) kind()   {}
func (Twice) kind()             {}
func (Unknown) kind()           {}
func (Unreadable) kind()        {}
func (Other) kind()             {}

// Kinds returns an empty fault of every kind, in the order of the documents.
func Kinds() []Kind {
	return []Kind{
		Missing{},
		OutOfRange{},
		CountsAsZero{},
		NotFinite{},
		NotOneOf{},
		TooLong{},
		TooMany{},
		WrongCount{},
		BothGiven{},
		NeitherGiven{},
		Repeated{},
		UnderAnother{},
		Reserved{},
		NotADate{},
		YearOutOfRange{},
		NotATime{},
		NotAnInstant{},
		NotLater{},
		SkippedTime{},
		EndNotAfterStart{},
		WindowTooLong{},
		FromNotBeforeTo{},
		TooManySteps{},
		ZoneOfMachine{},
		ZoneInFolder{},
		UnknownZone{},
		ViewTooWide{},
		TopNotAboveBase{},
		NobodyInView{},
		Overlaps{},
		InsideZone{},
		UnknownHouse{},
		UnknownItem{},
		WrongKind{},
		UnknownCurrency{},
		OtherCurrency{},
		NotAnAmount{},
		ChargedOutOfRange{},
		ChargedFalls{},
		ChargedBeaten{},
		NotMore{},
		NotADecimal{},
		TaxedTwice{},
		NotHired{},
		NoTerms{},
		NoRateOn{},
		UnknownPlace{},
		HireBackwards{},
		HireTooLong{},
		OutsideHire{},
		NoRoom{},
		Unprintable{},
		SpaceAround{},
		NoSuchShot{},
		ShotsLeftOut{},
		MissingAttribute{},
		UnknownKind{},
		OtherKind{},
		WrongColumns{},
		WrongCells{},
		NotANumber{},
		OpenQuote{},
		NotAList{},
		NotAWorkbook{},
		WorkbookTooLarge{},
		NotText{},
		NotJSON{},
		IsNull{},
		WrongType{},
		FarOutOfRange{},
		NotWhole{},
		TooManyElements{},
		Twice{},
		Unknown{},
		Unreadable{},
		Other{},
	}
}
