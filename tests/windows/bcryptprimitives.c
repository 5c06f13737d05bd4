/* The one function of this Windows library that Rust asks for, where wine lacks it. */
#include <windows.h>
#include <ntsecapi.h>

__declspec(dllexport) BOOL WINAPI ProcessPrng(PBYTE data, SIZE_T length)
{
    return RtlGenRandom(data, (ULONG)length);
}
