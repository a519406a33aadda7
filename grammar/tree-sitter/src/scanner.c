// Every token of a draft, as the program's own reader has them (crates/language/src/syntax: lexer.rs, lines.rs). What ends a
// sentence is decided by the tokens on both sides of a line end and by the open brackets, and no parser state tells those: so
// the scanner sees all tokens and keeps both. Fixed words are in words.h.

#include "tree_sitter/alloc.h"
#include "tree_sitter/parser.h"
#include "words.h"

#include <string.h>

// Deeper brackets are not read; the longest word of the language, and some more.
enum { DEEPEST = 64, LONGEST = 24 };

// What the last token was, as far as the next line end asks.
enum Last { BEGUN, OPENED, ASKS, ASKS_OPTION, CLOSED, COMPLETE };

enum InText { NOWHERE, IN_LETTERS, IN_HOLE };

enum First { ANY, CHOOSES, OPERATES };

typedef struct {
    uint8_t last;
    uint8_t in_text;
    // How the sentence at hand begins.
    uint8_t first;
    // One more than the depth at which `of` may stand before texts to choose from.
    uint8_t ranged;
    // The sentence ends here, and only `_value_ends` may come before.
    bool ending;
    // The line end ahead has been looked at, and the sentence goes on.
    bool goes_on;
    // The `of` ahead has been looked at, and is a plain one.
    bool plain_of;
    uint8_t depth;
    // A bit for each open bracket: set for a brace.
    uint8_t braces[DEEPEST / 8];
} Scanner;

void *tree_sitter_oaktag_external_scanner_create(void) {
    return ts_calloc(1, sizeof(Scanner));
}

void tree_sitter_oaktag_external_scanner_destroy(void *payload) {
    ts_free(payload);
}

unsigned tree_sitter_oaktag_external_scanner_serialize(void *payload, char *buffer) {
    memcpy(buffer, payload, sizeof(Scanner));
    return sizeof(Scanner);
}

void tree_sitter_oaktag_external_scanner_deserialize(void *payload, const char *buffer, unsigned length) {
    memset(payload, 0, sizeof(Scanner));
    if (length == sizeof(Scanner)) memcpy(payload, buffer, length);
}

// Letters

static void advance(TSLexer *lexer) { lexer->advance(lexer, false); }

static bool is_digit(int32_t c) { return c >= '0' && c <= '9'; }

static bool is_space(int32_t c) { return c == ' ' || c == '\t' || c == '\r'; }

static bool within(int32_t c, int32_t low, int32_t high) { return c >= low && c <= high; }

// Letters beyond ASCII by their blocks: signs, fractions, raised figures and pictures are none.
static bool is_foreign_letter(int32_t c) {
    return c == 0xaa || c == 0xb5 || c == 0xba || (within(c, 0xc0, 0x1fff) && c != 0xd7 && c != 0xf7) || c == 0x2071 ||
           c == 0x207f || within(c, 0x2090, 0x209c) || within(c, 0x2c00, 0x2dff) || within(c, 0x3005, 0x3006) ||
           within(c, 0x3031, 0x3035) || within(c, 0x3041, 0xd7ff) || within(c, 0xf900, 0xfdff) ||
           within(c, 0xfe70, 0xfefc) || within(c, 0xff21, 0xff3a) || within(c, 0xff41, 0xff5a) ||
           within(c, 0xff66, 0xffdc) || within(c, 0x10000, 0x1efff) || within(c, 0x20000, 0x323af);
}

static bool begins_name(int32_t c) {
    return within(c, 'a', 'z') || within(c, 'A', 'Z') || c == '_' || (is_foreign_letter(c) && !within(c, 0x300, 0x36f));
}

static bool continues_name(int32_t c) {
    return begins_name(c) || is_digit(c) || is_foreign_letter(c) || within(c, 0x20d0, 0x20f0) || within(c, 0xfe20, 0xfe2f);
}

// Reads a word; one that is longer than any fixed word comes out empty.
static void read_word(TSLexer *lexer, char *word) {
    unsigned length = 0;
    while (continues_name(lexer->lookahead)) {
        if (length < LONGEST) word[length] = lexer->lookahead < 0x80 ? (char)lexer->lookahead : '?';
        length++;
        advance(lexer);
    }
    word[length < LONGEST ? length : 0] = 0;
}

static bool is(const char *word, const char *other) { return strcmp(word, other) == 0; }

static bool is_one_of(const char *word, const char *const *words) {
    for (; *words; words++) {
        if (is(word, *words)) return true;
    }
    return false;
}

// The number of a fixed word, or -1.
static int fixed_word(const char *word) {
    for (int n = 0; n < TOKENS - FIRST_WORD; n++) {
        if (WORDS[n].letters[0] == word[0] && is(WORDS[n].letters, word)) return n;
    }
    return -1;
}

static bool is_sort(const char *word, enum Sort sort) {
    int n = fixed_word(word);
    return n >= 0 && WORDS[n].sort == sort;
}

// No word of ours, but what others write for one: told by the program wherever it stands.
static bool is_others(const char *word) { return is(word, "else") || is(word, "towards"); }

static bool is_reserved(const char *word) {
    return is_sort(word, LINK) || is_sort(word, DIRECTION) || is_sort(word, OTHER) || is_others(word);
}

static void pass_spaces(TSLexer *lexer) {
    while (is_space(lexer->lookahead)) advance(lexer);
}

// Passes spaces, line ends and comments; whether a line end was among them.
static bool pass_lines(TSLexer *lexer) {
    bool passed = false;
    for (;;) {
        pass_spaces(lexer);
        if (lexer->lookahead == '#') {
            while (lexer->lookahead != '\n' && !lexer->eof(lexer)) advance(lexer);
        }
        if (lexer->lookahead != '\n') return passed;
        passed = true;
        advance(lexer);
    }
}

// Brackets

static bool in_brackets(const Scanner *scanner) {
    if (scanner->depth == 0) return false;
    unsigned top = scanner->depth - 1;
    return !(scanner->braces[top / 8] >> (top % 8) & 1);
}

static void open_bracket(Scanner *scanner, bool brace) {
    unsigned at = scanner->depth++;
    scanner->braces[at / 8] &= (uint8_t) ~(1u << (at % 8));
    scanner->braces[at / 8] |= (uint8_t)(brace << (at % 8));
}

static void close_bracket(Scanner *scanner, bool brace) {
    if (brace) {
        while (in_brackets(scanner)) scanner->depth--;
    } else if (!in_brackets(scanner)) {
        return;
    }
    if (scanner->depth > 0) scanner->depth--;
    if (scanner->ranged > scanner->depth + 1) scanner->ranged = 0;
}

// Line ends

// Whether a line that begins with this word begins a sentence; or beyond doubt, where the line before asks for more. After a
// comma or `with` what follows may also be an option, so fewer shapes are beyond doubt.
static bool begins_sentence(TSLexer *lexer, const char *first, bool surely, bool options_possible) {
    static const char *const draws[] = {
        "point", "line", "curve", "length", "angle", "area", "number", "direction", "text", "list", "answer", "redraw",
        "carry", "body", "choose", NULL,
    };
    static const char *const names[] = {"panel", "piece", "seam", "operation", "cloth", "sewn", NULL};
    static const char *const says[] = {
        "draft", "import", "require", "check", "step", "note", "why", "caution", "slip", "give", "terms", NULL,
    };
    static const char *const takes[] = {"outline", "slip", "give", "terms", NULL};
    static const char *const counts[] = {
        "edition", "cut", "interline", "allow", "ease", "gather", "stretch", "tolerance", "slip", "give", "terms", NULL,
    };
    if (is(first, "if")) return true;
    pass_spaces(lexer);
    int32_t c = lexer->lookahead;
    if (c == '"') return is_one_of(first, says) && !(surely && options_possible);
    if (!begins_name(c)) {
        bool bracket = (c == '(' || c == '[') && is_one_of(first, takes) && !is(first, "outline");
        return !surely && (bracket || (is_digit(c) && is_one_of(first, counts)));
    }
    char word[LONGEST + 1], then[LONGEST + 1] = "";
    read_word(lexer, word);
    bool reserved = is_reserved(word), dotted = lexer->lookahead == '.';
    while (lexer->lookahead == '.') {
        advance(lexer);
        read_word(lexer, then);
    }
    if (reserved && !dotted) {
        if (surely) return false;
        if (is(first, "cloth")) return is(word, "at");
        if (is(first, "pieces") || is(first, "seams")) return is(word, "of");
        if (is(first, "grain")) return is(word, "along");
        if (is(first, "open")) return is(word, "between");
        if (is(first, "notch")) return is(word, "at");
        return is_one_of(first, takes) && !is(first, "outline") && is_sort(word, OTHER);
    }
    pass_spaces(lexer);
    c = lexer->lookahead;
    then[0] = 0;
    if (begins_name(c)) read_word(lexer, then);
    bool drawn = c == '=' || c == ',', ended = c == '\n' || lexer->eof(lexer);
    if (surely) {
        bool block = c == '{' || is(then, "between") || is(then, "joins");
        if (!(c == '=' || (!options_possible && (drawn || block)))) return false;
    }
    if (is_one_of(first, draws)) return drawn;
    if (is_one_of(first, names)) return !dotted;
    if (is(first, "order")) return !dotted && (c == ',' || ended);
    if (is(first, "unit") || is(first, "use")) return !dotted && ended;
    if (is(first, "guide")) return !dotted && *then && !is_reserved(then);
    if (is(first, "try")) return !dotted && is(then, "between");
    if (is(first, "notch")) return is(then, "at");
    if (is(first, "dart")) return is(then, "to");
    return is_one_of(first, takes);
}

// At a line end or a comment: whether the sentence ends here.
static bool line_ends(Scanner *scanner, TSLexer *lexer) {
    bool crossed = pass_lines(lexer);
    int32_t c = lexer->lookahead;
    if (lexer->eof(lexer)) return true;
    if (!crossed) return false;
    if (!begins_name(c)) {
        bool carries = c == '+' || c == '-' || c == '*' || c == '/' || c == '<' || c == '>' || c == '=' || c == '{';
        return !in_brackets(scanner) && !carries && scanner->last != ASKS && scanner->last != ASKS_OPTION;
    }
    char word[LONGEST + 1];
    read_word(lexer, word);
    if (in_brackets(scanner)) {
        if (!begins_sentence(lexer, word, false, false)) return false;
        while (in_brackets(scanner)) close_bracket(scanner, false);
        return true;
    }
    if (lexer->lookahead != '.') {
        bool carries = is_sort(word, LINK) || is_sort(word, DIRECTION) || is(word, "otherwise") || is_others(word);
        if (carries) return false;
    }
    if (is(word, "needs")) {
        pass_spaces(lexer);
        if (lexer->lookahead == '(') return false;
    }
    if (scanner->last != ASKS && scanner->last != ASKS_OPTION) return true;
    return begins_sentence(lexer, word, true, scanner->last == ASKS_OPTION);
}

// Tokens

static bool gives(TSLexer *lexer, unsigned token) {
    lexer->result_symbol = (TSSymbol)token;
    return true;
}

// A token that is neither a line end nor a comment, up to here.
static bool takes(Scanner *scanner, TSLexer *lexer, unsigned token, enum Last last) {
    lexer->mark_end(lexer);
    scanner->last = last;
    scanner->goes_on = scanner->plain_of = false;
    return gives(lexer, token);
}

// Ends the sentence before what comes, and the values in it first.
static bool ends(Scanner *scanner, TSLexer *lexer, bool value) {
    if (value) {
        scanner->ending = true;
        return gives(lexer, VALUE_ENDS);
    }
    scanner->ending = scanner->goes_on = scanner->plain_of = false;
    scanner->last = BEGUN;
    scanner->ranged = 0;
    return gives(lexer, END);
}

static void read_digits(TSLexer *lexer) {
    while (is_digit(lexer->lookahead)) advance(lexer);
}

// A unit tight behind a figure, if one stands there: whether it is one.
static bool read_unit(TSLexer *lexer) {
    static const char *const units[] = {"mm", "cm", "m", "in", "deg", "", NULL};
    char word[LONGEST + 1] = "";
    if (lexer->lookahead == '%') {
        advance(lexer);
    } else if (begins_name(lexer->lookahead)) {
        read_word(lexer, word);
        if (!*word) return false;
    }
    return is_one_of(word, units) && !continues_name(lexer->lookahead) && lexer->lookahead != '%';
}

// The part of a fraction from its bar on: 1 for one with a unit, 0 for a division, -1 for what is none here.
static int read_fraction(TSLexer *lexer) {
    advance(lexer);
    bool nought = true;
    if (!is_digit(lexer->lookahead)) return 0;
    while (is_digit(lexer->lookahead)) {
        nought = nought && lexer->lookahead == '0';
        advance(lexer);
    }
    if (lexer->lookahead == '"') return -1;
    if (!begins_name(lexer->lookahead) && lexer->lookahead != '%') return 0;
    return read_unit(lexer) && !nought ? 1 : -1;
}

// `94cm`, `0.5`, `3/8in`, `15 3/4in`; a figure in another pen's form is none.
static bool scan_figure(Scanner *scanner, TSLexer *lexer) {
    read_digits(lexer);
    lexer->mark_end(lexer);
    bool whole = true;
    switch (lexer->lookahead) {
    case '.':
        advance(lexer);
        whole = is_digit(lexer->lookahead);
        read_digits(lexer);
        whole = whole && read_unit(lexer) && lexer->lookahead != '"';
        return takes(scanner, lexer, whole ? FIGURE : NEVER, COMPLETE);
    case ',':
        advance(lexer);
        if (is_digit(lexer->lookahead)) {
            read_digits(lexer);
            whole = !begins_name(lexer->lookahead) && lexer->lookahead != '%';
        }
        break;
    case ' ':
    case '-': {
        bool space = lexer->lookahead == ' ';
        advance(lexer);
        if (is_digit(lexer->lookahead)) {
            read_digits(lexer);
            int fraction = lexer->lookahead == '/' ? read_fraction(lexer) : 0;
            if (fraction == 1 && space) return takes(scanner, lexer, FIGURE, COMPLETE);
            whole = fraction == 0;
        }
        break;
    }
    case '/': {
        int fraction = read_fraction(lexer);
        if (fraction == 1) return takes(scanner, lexer, FIGURE, COMPLETE);
        whole = fraction == 0;
        break;
    }
    default:
        whole = read_unit(lexer) && lexer->lookahead != '"' && lexer->lookahead < 0x80;
        return takes(scanner, lexer, whole ? FIGURE : NEVER, COMPLETE);
    }
    scanner->last = COMPLETE;
    scanner->goes_on = scanner->plain_of = false;
    return gives(lexer, whole ? FIGURE : NEVER);
}

// The mark that opens a text; none where the text or a hole in it is not closed on its line.
static bool scan_text_begin(Scanner *scanner, TSLexer *lexer) {
    advance(lexer);
    lexer->mark_end(lexer);
    bool hole = false;
    while (lexer->lookahead != '"') {
        if (lexer->lookahead == '\n' || lexer->eof(lexer)) return gives(lexer, NEVER);
        bool brace = lexer->lookahead == '{';
        if (hole && lexer->lookahead == '}') hole = false;
        advance(lexer);
        if (brace && !hole) {
            if (lexer->lookahead == '{') advance(lexer);
            else hole = true;
        }
    }
    if (hole) return gives(lexer, NEVER);
    scanner->in_text = IN_LETTERS;
    return gives(lexer, TEXT_BEGINS);
}

static bool scan_in_text(Scanner *scanner, TSLexer *lexer) {
    if (lexer->lookahead == '"') {
        advance(lexer);
        scanner->in_text = NOWHERE;
        return takes(scanner, lexer, TEXT_ENDS, COMPLETE);
    }
    if (lexer->lookahead == '{') {
        advance(lexer);
        if (lexer->lookahead == '{') {
            advance(lexer);
            return takes(scanner, lexer, BRACE, COMPLETE);
        }
        scanner->in_text = IN_HOLE;
        return takes(scanner, lexer, HOLE_BEGINS, ASKS);
    }
    bool some = false;
    while (lexer->lookahead != '"' && lexer->lookahead != '{' && lexer->lookahead != '\n' && !lexer->eof(lexer)) {
        advance(lexer);
        some = true;
    }
    if (!some) scanner->in_text = NOWHERE;
    return some && takes(scanner, lexer, LETTERS, COMPLETE);
}

// The next word, whether it stands on this line or brackets hold the lines together; empty for anything else.
static void peek_word(const Scanner *scanner, TSLexer *lexer, char *word) {
    word[0] = 0;
    bool crossed = pass_lines(lexer);
    if (!begins_name(lexer->lookahead)) return;
    read_word(lexer, word);
    if (crossed && !in_brackets(scanner) && !is_reserved(word)) word[0] = 0;
    else if (!*word) strcpy(word, "?");
}

static bool is_comparing(const char *word) {
    return is(word, "longer") || is(word, "shorter") || is(word, "more") || is(word, "less");
}

// Whether a word that is a name elsewhere is one of the language here, where one may stand.
static bool is_placed(const Scanner *scanner, TSLexer *lexer, const char *word, const bool *valid) {
    char then[LONGEST + 1];
    if (is_comparing(word)) {
        peek_word(scanner, lexer, then);
        return is(then, "than");
    }
    if (is(word, "square")) {
        peek_word(scanner, lexer, then);
        if (!is(then, "to")) return false;
        pass_spaces(lexer);
        read_word(lexer, then);
        if (!is(then, "level")) return true;
        pass_spaces(lexer);
        read_word(lexer, then);
        return !is(then, "of");
    }
    if (is(word, "next")) {
        peek_word(scanner, lexer, then);
        return *then && (!is_reserved(then) || lexer->lookahead == '.');
    }
    if (is(word, "mirrored")) {
        peek_word(scanner, lexer, then);
        return is(then, "each") || is(then, "over") || (*then && !is_reserved(then));
    }
    if (is(word, "drawn")) {
        peek_word(scanner, lexer, then);
        if (is_comparing(then)) {
            peek_word(scanner, lexer, then);
            return !is(then, "than");
        }
        int32_t c = lexer->lookahead;
        bool sign = !*then && (c == '+' || c == '-' || c == '*' || c == '/' || c == '<' || c == '>' || c == '=');
        return !sign && !is(then, "of") && !is_sort(then, DIRECTION);
    }
    if (valid[NAME] && is_sort(word, SENTENCE)) {
        peek_word(scanner, lexer, then);
        if (is(word, "start") || is(word, "end")) return is(then, "of");
        return !is(then, "meets");
    }
    return true;
}

// Behind `of`: whether texts to choose from stand there, and no operand.
static bool texts_follow(TSLexer *lexer) {
    pass_lines(lexer);
    if (lexer->lookahead != '"') return false;
    do {
        advance(lexer);
        if (lexer->lookahead == '\n' || lexer->eof(lexer)) return false;
    } while (lexer->lookahead != '"');
    advance(lexer);
    pass_lines(lexer);
    return lexer->lookahead == ',' || lexer->lookahead == ')' || lexer->lookahead == '"';
}

// `the way` on the line of an `of`.
static bool read_the_way(TSLexer *lexer) {
    char word[LONGEST + 1];
    pass_spaces(lexer);
    if (!begins_name(lexer->lookahead)) return false;
    read_word(lexer, word);
    if (!is(word, "the") || lexer->lookahead == '.') return false;
    pass_spaces(lexer);
    if (!begins_name(lexer->lookahead)) return false;
    read_word(lexer, word);
    return is(word, "way") && lexer->lookahead != '.';
}

// Behind `of the way`: `from` or `along` on the same line belongs to it.
static bool scan_way(Scanner *scanner, TSLexer *lexer) {
    takes(scanner, lexer, FIRST_WAY, COMPLETE);
    pass_spaces(lexer);
    char word[LONGEST + 1];
    read_word(lexer, word);
    if (lexer->lookahead == '.') return true;
    if (is(word, "from")) return takes(scanner, lexer, FIRST_WAY + 1, ASKS);
    if (is(word, "along")) return takes(scanner, lexer, FIRST_WAY + 2, ASKS);
    return true;
}

// `of`, and the words that stand behind it on its line and are read with it.
static bool scan_of(Scanner *scanner, TSLexer *lexer, const bool *valid, bool recovering) {
    unsigned of = FIRST_WORD + (unsigned)fixed_word("of");
    bool value = valid[VALUE_ENDS] && !recovering;
    if (value && valid[of] && !scanner->plain_of) {
        // What is found out by reading on cannot be given back: a step without letters keeps it.
        bool may_choose = scanner->ranged == scanner->depth + 1;
        pass_spaces(lexer);
        bool other = begins_name(lexer->lookahead) ? read_the_way(lexer) : may_choose && texts_follow(lexer);
        if (other) return gives(lexer, VALUE_ENDS);
        scanner->plain_of = true;
        return gives(lexer, LINE_GOES_ON);
    }
    if (scanner->plain_of) return takes(scanner, lexer, of, ASKS);
    if (value && (!valid[FIRST_WAY + 1] || !read_the_way(lexer))) return gives(lexer, VALUE_ENDS);
    if (value) return scan_way(scanner, lexer);
    lexer->mark_end(lexer);
    if (valid[OF_CHOICES] && !recovering) {
        takes(scanner, lexer, OF_CHOICES, ASKS);
        return true;
    }
    scanner->goes_on = false;
    scanner->last = ASKS;
    return read_the_way(lexer) ? scan_way(scanner, lexer) : gives(lexer, of);
}

// `to`, and `to level of` on one line.
static bool scan_to(Scanner *scanner, TSLexer *lexer, unsigned token) {
    takes(scanner, lexer, token, ASKS);
    char word[LONGEST + 1];
    pass_spaces(lexer);
    read_word(lexer, word);
    if (!is(word, "level") || lexer->lookahead == '.') return true;
    pass_spaces(lexer);
    read_word(lexer, word);
    if (is(word, "of") && lexer->lookahead != '.') return takes(scanner, lexer, FIRST_WAY + 3, ASKS);
    return true;
}

static void begins(Scanner *scanner, const char *word) {
    if (scanner->last != BEGUN && scanner->last != OPENED) return;
    scanner->ranged = 0;
    scanner->first = is(word, "operation") ? OPERATES : is(word, "body") || is(word, "choose") ? CHOOSES : ANY;
}

// Where a range or a default is read, texts to choose from may follow.
static void may_choose_after(Scanner *scanner, bool equal) {
    if (scanner->first == OPERATES ? in_brackets(scanner) : scanner->first == CHOOSES && !equal && !in_brackets(scanner)) {
        scanner->ranged = scanner->depth + 1;
    }
}

static bool scan_word(Scanner *scanner, TSLexer *lexer, const bool *valid, bool recovering) {
    static const char *const tight[] = {"length", "start", "end", "area", "count", NULL};
    char word[LONGEST + 1];
    read_word(lexer, word);
    bool dotted = false, sound = true, value = valid[VALUE_ENDS] && !recovering;
    while (lexer->lookahead == '.' && sound) {
        dotted = true;
        sound = sound && !is_reserved(word);
        advance(lexer);
        sound = sound && begins_name(lexer->lookahead);
        read_word(lexer, word);
        sound = sound && !is_reserved(word);
    }
    int n = dotted ? -1 : fixed_word(word);
    bool reserved = n >= 0 && is_reserved(word);
    if (scanner->last == CLOSED && (!reserved || is(word, "if") || is(word, "each"))) {
        return ends(scanner, lexer, value);
    }
    if (dotted) {
        if (sound && value && !valid[DOTTED]) return gives(lexer, VALUE_ENDS);
        return takes(scanner, lexer, sound ? DOTTED : NEVER, COMPLETE);
    }
    if (is_others(word)) return takes(scanner, lexer, NEVER, ASKS);
    if (is(word, "of")) return scan_of(scanner, lexer, valid, recovering);
    unsigned token = FIRST_WORD + (unsigned)(n < 0 ? 0 : n);
    if (value && !(n >= 0 && valid[token]) && (reserved || !valid[NAME])) return gives(lexer, VALUE_ENDS);
    if (is(word, "to")) return scan_to(scanner, lexer, token);
    if (reserved) {
        begins(scanner, word);
        if (is(word, "between")) may_choose_after(scanner, false);
        enum Last last = WORDS[n].sort != LINK ? COMPLETE : is(word, "with") ? ASKS_OPTION : ASKS;
        return takes(scanner, lexer, token, last);
    }
    bool at_start = scanner->last == BEGUN || scanner->last == OPENED;
    lexer->mark_end(lexer);
    begins(scanner, word);
    scanner->last = COMPLETE;
    scanner->goes_on = scanner->plain_of = false;
    if (n >= 0 && recovering && at_start && WORDS[n].sort == SENTENCE) return gives(lexer, token);
    if (n >= 0 && !recovering && valid[token] && is_placed(scanner, lexer, word, valid)) return gives(lexer, token);
    if (valid[TIGHT_NAME] && !recovering && is_one_of(word, tight)) {
        char then[LONGEST + 1];
        pass_lines(lexer);
        if (begins_name(lexer->lookahead)) {
            read_word(lexer, then);
            if (is(then, "of")) return gives(lexer, TIGHT_NAME);
        }
    }
    return gives(lexer, NAME);
}

static bool scan_sign(Scanner *scanner, TSLexer *lexer, const bool *valid, bool recovering) {
    static const char signs[] = "()[]{},+-*/<=>";
    // In the order of the tokens, `<=` and `>=` between.
    static const uint8_t numbers[] = {0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 13, 15};
    int32_t c = lexer->lookahead;
    const char *found = c > 0 && c < 0x80 ? strchr(signs, (int)c) : NULL;
    if (!found) return false;
    unsigned token = FIRST_SIGN + numbers[found - signs];
    bool brace = c == '{' || c == '}';
    if (valid[VALUE_ENDS] && !recovering && !valid[token] && !(c == '}' && scanner->last != BEGUN)) {
        return gives(lexer, VALUE_ENDS);
    }
    if (c == '}' && scanner->last != BEGUN && scanner->last != OPENED) {
        return ends(scanner, lexer, valid[VALUE_ENDS] && !recovering);
    }
    advance(lexer);
    switch (c) {
    case '(':
    case '[':
    case '{':
        if (scanner->depth == DEEPEST) return takes(scanner, lexer, NEVER, COMPLETE);
        open_bracket(scanner, brace);
        return takes(scanner, lexer, token, brace ? OPENED : COMPLETE);
    case ')':
    case ']':
    case '}':
        close_bracket(scanner, brace);
        return takes(scanner, lexer, token, brace ? CLOSED : COMPLETE);
    case ',':
        return takes(scanner, lexer, token, ASKS_OPTION);
    case '=':
        may_choose_after(scanner, true);
        break;
    case '<':
    case '>':
        if (lexer->lookahead == '=') {
            advance(lexer);
            token = c == '<' ? token + 1 : token - 1;
        }
        break;
    default:
        break;
    }
    return takes(scanner, lexer, token, ASKS);
}

bool tree_sitter_oaktag_external_scanner_scan(void *payload, TSLexer *lexer, const bool *valid) {
    Scanner *scanner = payload;
    bool recovering = valid[NEVER];
    bool value = valid[VALUE_ENDS] && !recovering;
    lexer->mark_end(lexer);
    if (scanner->ending) return ends(scanner, lexer, value);
    if (scanner->in_text == IN_LETTERS) return scan_in_text(scanner, lexer);
    bool between = scanner->last == BEGUN || scanner->last == OPENED;
    for (;;) {
        while (is_space(lexer->lookahead)) lexer->advance(lexer, true);
        int32_t c = lexer->lookahead;
        if (c != '\n' && c != '#') break;
        if (!between && !scanner->goes_on) {
            if (line_ends(scanner, lexer)) return ends(scanner, lexer, value);
            scanner->goes_on = true;
            return gives(lexer, LINE_GOES_ON);
        }
        if (c == '#') {
            if (scanner->in_text == IN_HOLE) return false;
            while (lexer->lookahead != '\n' && !lexer->eof(lexer)) advance(lexer);
            lexer->mark_end(lexer);
            return gives(lexer, COMMENT);
        }
        lexer->advance(lexer, true);
    }
    if (lexer->eof(lexer)) return scanner->last != BEGUN && ends(scanner, lexer, value);
    int32_t c = lexer->lookahead;
    if (c == '}' && scanner->in_text == IN_HOLE) {
        if (value) return gives(lexer, VALUE_ENDS);
        advance(lexer);
        scanner->in_text = IN_LETTERS;
        return takes(scanner, lexer, HOLE_ENDS, COMPLETE);
    }
    if (is_digit(c) || c == '"') {
        if (value && !valid[c == '"' ? TEXT_BEGINS : FIGURE]) return gives(lexer, VALUE_ENDS);
        return c == '"' ? scan_text_begin(scanner, lexer) : scan_figure(scanner, lexer);
    }
    if (begins_name(c)) return scan_word(scanner, lexer, valid, recovering);
    return scan_sign(scanner, lexer, valid, recovering);
}
