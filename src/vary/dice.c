#include "vary/dice.h"

uint64_t dice_word(struct dice *dice)
{
    uint64_t word = dice->state += UINT64_C(0x9E3779B97F4A7C15);
    word = (word ^ word >> 30) * UINT64_C(0xBF58476D1CE4E5B9);
    word = (word ^ word >> 27) * UINT64_C(0x94D049BB133111EB);
    return word ^ word >> 31;
}

static void add_bits(mpz_t out, uint32_t bits)
{
    mpz_mul_2exp(out, out, 32);
    mpz_add_ui(out, out, bits);
}

void dice_below(struct dice *dice, const mpz_t end, mpz_t out)
{
    mpz_t last;
    mpz_init(last);
    mpz_sub_ui(last, end, 1);
    size_t bits = mpz_sgn(last) ? mpz_sizeinbase(last, 2) : 0;
    do {
        mpz_set_ui(out, 0);
        for (size_t taken = 0; taken < bits; taken += 64) {
            uint64_t word = dice_word(dice);
            add_bits(out, (uint32_t)(word >> 32));
            add_bits(out, (uint32_t)word);
        }
        mpz_fdiv_r_2exp(out, out, bits);
    } while (mpz_cmp(out, end) >= 0);
    mpz_clear(last);
}

uint32_t dice_small(struct dice *dice, uint32_t end)
{
    mpz_t above, out;
    mpz_init_set_ui(above, end);
    mpz_init(out);
    dice_below(dice, above, out);
    uint32_t number = (uint32_t)mpz_get_ui(out);
    mpz_clears(above, out, (mpz_ptr)NULL);
    return number;
}
