package fault

// Of any member.
type (
	// Missing means that a member without a default was left out, or is empty.
	Missing struct {
		Want Want `json:"want"`
		// Range is what a number, or how many of a list, would do; nil for others.
		Range *Range `json:"range,omitempty"`
		// Instead are members that together do as well.
		Instead []string `json:"instead,omitempty"`
		// Words are what would do, where they are few.
		Words []string `json:"words,omitempty"`
	}
	// OutOfRange means that a number is outside its range.
	OutOfRange struct {
		Got float64 `json:"got"`
		Range
	}
	// CountsAsZero means that a number is so near 0 that it counts as 0, which is out of range.
	CountsAsZero struct {
		Got float64 `json:"got"`
		Range
	}
	// NotFinite means that a number is NaN or infinite.
	NotFinite struct {
		Got float64 `json:"-"`
		Range
	}
	// NotOneOf means that a word is none of a closed list.
	NotOneOf struct {
		Got   string   `json:"got"`
		Words []string `json:"words"`
	}
	// TooLong means that a text has too many characters. Got is the text where it is short enough to repeat.
	TooLong struct {
		Got        string `json:"got,omitempty"`
		Characters int    `json:"characters,omitempty"`
		Most       int    `json:"most"`
	}
	// TooMany means that a list has too many elements.
	TooMany struct {
		Count int `json:"count"`
		Most  int `json:"most"`
	}
	// WrongCount means that a place has more or fewer coordinates than it takes. Axes are those.
	WrongCount struct {
		Count int      `json:"count"`
		Axes  []string `json:"axes"`
	}
	// BothGiven means that a member stands beside others that exclude it. Each of Sets by itself would do.
	BothGiven struct {
		Beside []string   `json:"beside"`
		Sets   [][]string `json:"sets"`
	}
	// NeitherGiven means that none of several sets of members is there, of which one must be.
	NeitherGiven struct {
		Sets [][]string `json:"sets"`
	}
	// Repeated means that a name occurs twice in a list. First is the pointer of the first.
	Repeated struct {
		Got   string `json:"got"`
		First string `json:"first"`
	}
	// UnderAnother means that a number is under that of another member of the same object, which it may not be. Defaulted is set where the
	// other was left out and OtherIs is its default.
	UnderAnother struct {
		Got       float64 `json:"got"`
		Other     string  `json:"other"`
		OtherIs   float64 `json:"other_is"`
		Defaulted bool    `json:"defaulted,omitempty"`
		Unit      string  `json:"unit"`
	}
	// Reserved means that a label has a meaning of its own already.
	Reserved struct {
		Got string `json:"got"`
	}
)

// Of times.
type (
	// NotADate means that a text is no date of the calendar, YYYY-MM-DD.
	NotADate struct {
		Got string `json:"got"`
	}
	// YearOutOfRange means that a date is too far off to be meant.
	YearOutOfRange struct {
		Got       string `json:"got"`
		LeastYear int    `json:"least_year"`
		MostYear  int    `json:"most_year"`
	}
	// NotATime means that a text is no time of day, HH:MM. Last is the latest that may be given.
	NotATime struct {
		Got  string `json:"got"`
		Last string `json:"last"`
	}
	// NotAnInstant means that a text is no instant: RFC 3339 with offset, in CSV also a time of the site's zone.
	NotAnInstant struct {
		Got string `json:"got"`
	}
	// NotLater means that a row of a forecast is not later than the row before it. At and Before are the two, RFC 3339.
	NotLater struct {
		At     string `json:"at"`
		Before string `json:"before"`
	}
	// SkippedTime means that the clocks of a zone jump over a time. It lies between Before and After. All three are YYYY-MM-DD HH:MM.
	SkippedTime struct {
		At     string `json:"at"`
		Zone   string `json:"time_zone"`
		Before string `json:"before"`
		After  string `json:"after"`
	}
	// EndNotAfterStart means that a window ends before it begins. Where EndDate is empty the end is on Date, and NextDate would
	// make it a window over midnight.
	EndNotAfterStart struct {
		Date     string `json:"date"`
		Start    string `json:"start"`
		EndDate  string `json:"end_date,omitempty"`
		End      string `json:"end"`
		NextDate string `json:"next_date,omitempty"`
	}
	// WindowTooLong means that a window is over 24 hours long.
	WindowTooLong struct {
		Date        string `json:"date"`
		Start       string `json:"start"`
		EndDate     string `json:"end_date"`
		End         string `json:"end"`
		LongSeconds int    `json:"long_s"`
		MostSeconds int    `json:"most_s"`
	}
	// FromNotBeforeTo means that the steps of a day end before they begin.
	FromNotBeforeTo struct {
		From        string      `json:"from"`
		FromDefault TimeDefault `json:"from_default,omitempty"`
		To          string      `json:"to"`
		ToDefault   TimeDefault `json:"to_default,omitempty"`
	}
	// TooManySteps means that a step in minutes makes more steps than are taken.
	TooManySteps struct {
		StepMin int    `json:"step_min"`
		Steps   int    `json:"steps"`
		From    string `json:"from"`
		To      string `json:"to"`
		Most    int    `json:"most"`
	}
	// ZoneOfMachine means that a time zone's name means another zone on every machine.
	ZoneOfMachine struct {
		Got string `json:"got"`
	}
	// ZoneInFolder means that a time zone's name begins with a machine's own folder of zones.
	ZoneInFolder struct {
		Got string `json:"got"`
	}
	// UnknownZone means that there is no time zone of the name.
	UnknownZone struct {
		Got string `json:"got"`
	}
)

// Of the set.
type (
	// ViewTooWide means that a lens shows more than is taken. From LeastFocalMM on it does not.
	ViewTooWide struct {
		FocalMM      float64 `json:"focal_length_mm"`
		WidthM       float64 `json:"width_m"`
		MostM        float64 `json:"most_m"`
		LeastFocalMM float64 `json:"least_focal_length_mm"`
	}
	// TopNotAboveBase means that a zone ends below where it begins. Defaulted names the one of top_m and base_m that
	// was left out and has the default that the view gives; empty where both were given.
	TopNotAboveBase struct {
		TopM      float64 `json:"top_m"`
		BaseM     float64 `json:"base_m"`
		Defaulted string  `json:"defaulted,omitempty"`
		MostM     float64 `json:"most_m"`
	}
	// NobodyInView means that the view above the origin shows nothing between the ground and a standing head, so that a zone
	// has to be given. A nil end is one that the view does not have.
	NobodyInView struct {
		BottomM *float64 `json:"bottom_m,omitempty"`
		TopM    *float64 `json:"top_m,omitempty"`
		HeadM   float64  `json:"head_m"`
	}
	// Overlaps means that a zone at a place, metres east and north, overlaps another. Other is the pointer of that.
	Overlaps struct {
		CenterM [2]float64 `json:"center_m"`
		Other   string     `json:"other"`
	}
	// InsideZone means that a lamp at a place, metres east, north and up, stands in a zone. Zone is the pointer of that.
	InsideZone struct {
		PositionM [3]float64 `json:"position_m"`
		Zone      string     `json:"zone"`
	}
)

// Of the house and its money.
type (
	// UnknownHouse means that there is no rental house of the name. Words are the houses, where they are few.
	UnknownHouse struct {
		Got   string   `json:"got"`
		Words []string `json:"words,omitempty"`
	}
	// UnknownItem means that the house has no item of a SKU.
	UnknownItem struct {
		Got   string `json:"got"`
		House string `json:"house"`
	}
	// WrongKind means that an item is of another kind than the one that is asked for.
	WrongKind struct {
		Got      string `json:"got"`
		Kind     string `json:"kind"`
		WantKind string `json:"want_kind"`
	}
	// UnknownCurrency means that there is no currency of a code in ISO 4217.
	UnknownCurrency struct {
		Got string `json:"got"`
	}
	// OtherCurrency means that an amount is in another currency than the house's.
	OtherCurrency struct {
		Got   string `json:"got"`
		House string `json:"house"`
		Want  string `json:"want"`
	}
	// NotAnAmount means that a text is no amount of money of 0 or more. Reason is the catalogue's sentence.
	NotAnAmount struct {
		Reason string `json:"-"`
	}
)

// Of terms and quotes.
type (
	// ChargedOutOfRange means that for so many days of hire less than one day, or more days than they are, would be charged.
	ChargedOutOfRange struct {
		Days    int `json:"days"`
		Charged int `json:"charged"`
	}
	// ChargedFalls means that for so many days of hire less would be charged than for a day less, which is Before.
	ChargedFalls struct {
		Days    int `json:"days"`
		Charged int `json:"charged"`
		Before  int `json:"before"`
	}
	// ChargedBeaten means that so many days of hire would be charged more than two hires one after the other, of First and Second days,
	// which are charged Together.
	ChargedBeaten struct {
		Days     int `json:"days"`
		Charged  int `json:"charged"`
		First    int `json:"first"`
		Second   int `json:"second"`
		Together int `json:"together"`
	}
	// NotMore means that a step of a list is not at more than the step before it.
	NotMore struct {
		Got    int `json:"got"`
		Before int `json:"before"`
	}
	// NotADecimal means that a text is no decimal number within its range, with at most four decimals. Got is empty where it is missing.
	NotADecimal struct {
		Got   string `json:"got"`
		Least int    `json:"least"`
		Most  int    `json:"most"`
	}
	// TaxedTwice means that two taxes are on the same category. First is the pointer of the first.
	TaxedTwice struct {
		Got   string `json:"got"`
		First string `json:"first"`
	}
	// NotHired means that an item is of a kind that is not hired by the day.
	NotHired struct {
		Got  string `json:"got"`
		Kind string `json:"kind"`
	}
	// NoTerms means that a house has no terms for a hire that begins on a day.
	NoTerms struct {
		House string `json:"house"`
		Date  string `json:"date"`
	}
	// NoRateOn means that an item has no rate in force on a day.
	NoRateOn struct {
		Got  string `json:"got"`
		Date string `json:"date"`
	}
)

// Of a job.
type (
	// UnknownPlace means that the job has no place of a name. Words are its places, where they are few.
	UnknownPlace struct {
		Got   string   `json:"got"`
		Words []string `json:"words,omitempty"`
	}
	// HireBackwards means that a hire ends before it begins.
	HireBackwards struct {
		From string `json:"from"`
		To   string `json:"to"`
	}
	// HireTooLong means that a hire takes more days than are planned.
	HireTooLong struct {
		From string `json:"from"`
		To   string `json:"to"`
		Days int    `json:"days"`
		Most int    `json:"most"`
	}
	// OutsideHire means that a shot's day is not one of the hire's.
	OutsideHire struct {
		Date string `json:"date"`
		From string `json:"from"`
		To   string `json:"to"`
	}
	// NoRoom means that a movable shot takes longer than the span that it may be shot in.
	NoRoom struct {
		Earliest    string `json:"earliest"`
		Latest      string `json:"latest"`
		DurationMin int    `json:"duration_min"`
	}
	// Unprintable means that a text has a character that cannot be printed, such as U+0000.
	Unprintable struct {
		Character string `json:"character"`
	}
	// SpaceAround means that a name begins or ends with a space.
	SpaceAround struct {
		Got string `json:"got"`
	}
	// NoSuchShot means that the job has no shot of a number.
	NoSuchShot struct {
		Got string `json:"got"`
	}
	// ShotsLeftOut means that a list that takes every shot of the job lacks some. Numbers are the first of those.
	ShotsLeftOut struct {
		Count   int      `json:"count"`
		Numbers []string `json:"numbers"`
	}
)

// Of an item of the catalogue.
type (
	// MissingAttribute means that a member of an item was left out. Give is what it is for.
	MissingAttribute struct {
		Give string `json:"-"`
	}
	// UnknownKind means that there is no kind of item of a name.
	UnknownKind struct {
		Got   string   `json:"got"`
		Words []string `json:"words"`
	}
	// OtherKind means that attributes of another kind stand at an item.
	OtherKind struct {
		Kind  string `json:"kind"`
		Leave string `json:"leave_out"`
	}
)

// Of a table.
type (
	// WrongColumns means that the first line of a table does not name its columns. Columns are those it must name, MayBe those it may.
	WrongColumns struct {
		Got     string   `json:"got"`
		Columns []string `json:"columns"`
		MayBe   []string `json:"may_be"`
	}
	// WrongCells means that a line of a table has more cells than the first.
	WrongCells struct {
		Count int `json:"count"`
		Most  int `json:"most"`
	}
	// OpenQuote means that a double quote of a table is not closed, or stands inside a text that is not in double quotes.
	OpenQuote struct{}
	// NotAList means that a cell of a table that takes a list as JSON holds something else.
	NotAList struct {
		Got string `json:"got"`
	}
	// NotAWorkbook means that a file is no XLSX workbook that can be read.
	NotAWorkbook struct{}
	// WorkbookTooLarge means that an XLSX workbook has far more in it than so many rows.
	WorkbookTooLarge struct {
		MostRows int `json:"most_rows"`
	}
	// NotANumber means that a cell of a table that takes a number holds something else.
	NotANumber struct {
		Got string `json:"got"`
		Range
	}
)

// Of the form of a request.
type (
	// NotText means that a byte of the body, counted from 0, is not UTF-8.
	NotText struct {
		Byte int `json:"byte"`
	}
	// NotJSON means that the body is not one JSON value. Reason is why, in words.
	NotJSON struct {
		Reason string `json:"-"`
	}
	// IsNull means that a member is null that may only be left out.
	IsNull struct {
		Want Want `json:"want"`
	}
	// WrongType means that a value is of another JSON type.
	WrongType struct {
		Got  Want `json:"got"`
		Want Want `json:"want"`
	}
	// FarOutOfRange means that a number is larger than any is. Got is how it was written.
	FarOutOfRange struct {
		Got string `json:"got"`
	}
	// NotWhole means that a number is not whole, or too large to count with. Got is how it was written.
	NotWhole struct {
		Got string `json:"got"`
	}
	// TooManyElements means that an array has more elements than are read.
	TooManyElements struct {
		Count int `json:"count"`
		Most  int `json:"most"`
	}
	// Twice means that a member or a parameter occurs twice.
	Twice struct{}
	// Unknown means that a member or a parameter is not known here. Near is the known one that may be meant; Known are all,
	// where they are few.
	Unknown struct {
		Near  string   `json:"near,omitempty"`
		Known []string `json:"known,omitempty"`
		// Many is set where there are more than are listed.
		Many bool `json:"-"`
	}
	// Unreadable means that a parameter is missing, occurs twice or is of another form.
	Unreadable struct{}
	// Other means what has no code of its own, such as a rule of the catalogue. Says is the sentence.
	Other struct {
		Says string `json:"-"`
	}
)
